"""The one source of the current time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import date
    from zoneinfo import ZoneInfo


class Clock(Protocol):
    """Tells the time; tests pass one that stands still."""

    def now(self) -> datetime:
        """Return the current time as an aware datetime in UTC."""
        ...

    def today(self, zone: ZoneInfo) -> date:
        """Return the local date in `zone`."""
        ...


@dataclass(frozen=True, slots=True)
class SystemClock:
    """The clock of this computer."""

    def now(self) -> datetime:
        """Return the current time as an aware datetime in UTC."""
        return datetime.now(UTC)  # noqa: TID251  the one place that reads it

    def today(self, zone: ZoneInfo) -> date:
        """Return the local date in `zone`."""
        return self.now().astimezone(zone).date()


@dataclass(frozen=True, slots=True)
class ViewClock:
    """A clock for looking at the logbook as on another day.

    Instants that get stored still come from the computer's clock; only the local date is replaced.
    """

    day: date

    def now(self) -> datetime:
        """Return the current time as an aware datetime in UTC."""
        return SystemClock().now()

    def today(self, zone: ZoneInfo) -> date:
        """Return the chosen day, whatever the zone."""
        _ = zone
        return self.day
