"""Where the demo's past is written: one transaction for all of it, a clock that is moved."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from typing_extensions import override

from tubcare.services.desk import Desk

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection

    from tubcare.care.template_words import OwnWords
    from tubcare.services.topics import Topics
    from tubcare.store.store import Store
    from tubcare.store.unit import Unit

ZONE = ZoneInfo("Europe/Helsinki")


@dataclass(slots=True)
class PastClock:
    """A clock that is moved through the history of the scenario."""

    at: datetime

    def now(self) -> datetime:
        """Return the instant that the history has come to."""
        return self.at

    def today(self, zone: ZoneInfo) -> date:
        """Return the local date that the history has come to."""
        return self.at.astimezone(zone).date()

    def go_to(self, day: date, at: time) -> None:
        """Move to a local time of a day."""
        self.at = datetime.combine(day, at, ZONE).astimezone(UTC)


class PastDesk(Desk):
    """A desk whose use cases all share one running transaction, for a history of thousands.

    Undo does not know them, and caches follow once at the end, by whoever opened `unit`.
    """

    def __init__(
        self, store: Store, clock: PastClock, actor: str, unit: Unit, own_words: OwnWords
    ) -> None:
        super().__init__(store, clock, actor, own_words)
        self._unit = unit

    @override
    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Read in the running transaction."""
        yield self._unit.connection

    @override
    @contextmanager
    def write(self, label: str, subject: str, topics: Topics) -> Iterator[Unit]:
        """Write in the running transaction."""
        yield self._unit

    @override
    @contextmanager
    def write_unremembered(self, topics: Topics) -> Iterator[Unit]:
        """Write in the running transaction."""
        yield self._unit
