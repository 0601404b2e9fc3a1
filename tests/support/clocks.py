"""A clock that stands still until a test moves it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


class StillClock:
    """Tells the time it was given."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        return self.at

    def today(self, zone: ZoneInfo) -> date:
        return self.at.astimezone(zone).date()

    def go(self, *, days: float = 0, hours: float = 0) -> None:
        self.at += timedelta(days=days, hours=hours)

    def set(self, day: date, hour: int = 12) -> None:
        self.at = datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


def noon(year: int, month: int, day: int) -> datetime:
    return datetime(year, month, day, 12, tzinfo=UTC)
