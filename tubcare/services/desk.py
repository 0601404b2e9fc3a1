"""Where use cases work: the open logbook, the clock, the person, and the one change signal."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import delete, select

from tubcare.services.derived import refresh_caches
from tubcare.services.topics import Topic
from tubcare.store.tables import ActionRow, SettingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.clock import Clock
    from tubcare.services.topics import Topics
    from tubcare.store.store import Store
    from tubcare.store.unit import Unit

UNDO_DEPTH = 200
HOME_ZONE = "home_zone"


class Desk:
    """An open logbook together with who works on it and when.

    Parameters
    ----------
    store
        The open logbook.
    clock
        The source of today and now.
    actor
        Name of the person; undo goes back along one actor's own actions.
    """

    def __init__(self, store: Store, clock: Clock, actor: str) -> None:
        self.store = store
        self.clock = clock
        self.actor = actor
        self._listeners: list[Callable[[Topics], None]] = []

    def on_change(self, listener: Callable[[Topics], None]) -> None:
        """Call `listener` with the topics after each use case that committed."""
        self._listeners.append(listener)

    def announce(self, topics: Topics) -> None:
        """Tell the open views what changed."""
        for listener in tuple(self._listeners):
            listener(topics)

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Open a transaction that only reads."""
        with self.store.read() as connection:
            yield connection

    @contextmanager
    def write(self, label: str, subject: str, topics: Topics) -> Iterator[Unit]:
        """Open one use case: all of it is kept with what takes it back, or nothing.

        Parameters
        ----------
        label
            What was done, as a stable word such as `tick_off`; `words` makes the sentence.
        subject
            The thing it was done to, as shown to a person.
        topics
            The nouns that may have changed.
        """
        with self.store.write() as unit:
            yield unit
            changed = bool(unit.changes)
            if changed:
                refresh_caches(unit)
                self._remember(unit, label, subject)
        if changed:
            self.announce(topics)

    @contextmanager
    def write_unremembered(self, topics: Topics) -> Iterator[Unit]:
        """Open a transaction that undo does not know: settings, undo itself, reminders."""
        with self.store.write() as unit:
            yield unit
            refresh_caches(unit)
        self.announce(topics)

    def now(self) -> datetime:
        """Return the current instant in UTC."""
        return self.clock.now()

    def today(self, zone: str) -> date:
        """Return the local date in a named time zone."""
        return self.clock.today(ZoneInfo(zone))

    def home_today(self) -> date:
        """Return the date in the logbook's home zone, for headings."""
        with self.read() as connection:
            return self.today(setting(connection, HOME_ZONE) or "UTC")

    def _remember(self, unit: Unit, label: str, subject: str) -> None:
        action = table_of(ActionRow)
        connection = unit.connection
        connection.execute(
            delete(action).where(action.c.actor == self.actor, action.c.undone.is_(True))
        )
        row = connection.execute(
            action.insert().values(
                actor=self.actor,
                at=self.now(),
                label=label,
                subject=subject[:200],
                changes=[change.to_data() for change in unit.changes],
                undone=False,
            )
        ).inserted_primary_key
        oldest_kept = (
            select(action.c.id)
            .where(action.c.actor == self.actor)
            .order_by(action.c.id.desc())
            .offset(UNDO_DEPTH)
            .limit(1)
            .scalar_subquery()
        )
        if row is not None and row[0] > UNDO_DEPTH:
            connection.execute(
                delete(action).where(action.c.actor == self.actor, action.c.id <= oldest_kept)
            )


def setting(connection: Connection, name: str) -> str | None:
    """Return one setting of the logbook, None when it was never set."""
    table = table_of(SettingRow)
    found = connection.execute(select(table.c.value).where(table.c.name == name)).scalar()
    return None if found is None else str(found)


SETTINGS_CHANGED: Topics = frozenset({Topic.SETTINGS})
