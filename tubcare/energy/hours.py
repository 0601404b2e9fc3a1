"""A run of hours: counted in UTC, read on the clock of the tub's place.

Days of 23 or 25 hours come out by themselves, because the hours are those of UTC and only their
local date and hour are looked up.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from tubcare.errors import InputError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]

_HOUR = timedelta(hours=1)
_EPOCH_ORDINAL = date(1970, 1, 1).toordinal()
_MOST_HOURS = 24 * 366 * 60


@dataclass(frozen=True, kw_only=True)
class HourRange:
    """Whole hours from `start` (aware, on the hour in UTC), `count` of them, seen in `zone`.

    Raises
    ------
    InputError
        If the start is naive or not on the hour, or the count is negative or over 60 years.
    """

    start: datetime
    count: int
    zone: ZoneInfo

    def __post_init__(self) -> None:
        if self.start.tzinfo is None:
            raise InputError("start", "needs a time zone")
        in_utc = self.start.astimezone(UTC)
        if (in_utc.minute, in_utc.second, in_utc.microsecond) != (0, 0, 0):
            raise InputError("start", "must lie on a full hour in UTC")
        if not 0 <= self.count <= _MOST_HOURS:
            raise InputError("count", f"{self.count} hours; must lie in 0..{_MOST_HOURS}")

    @cached_property
    def local_seconds(self) -> Numbers:
        """Local wall time at the start of each hour, in seconds since 1970 [s]; int64 (hours,)."""
        first = self.start.astimezone(UTC)
        offsets = np.empty(self.count, dtype=np.int64)
        for begin in range(0, self.count, 24):
            end = min(begin + 24, self.count)
            before = self._offset_s(first + begin * _HOUR)
            offsets[begin:end] = before
            if self._offset_s(first + end * _HOUR) != before:
                for hour in range(begin, end):
                    offsets[hour] = self._offset_s(first + hour * _HOUR)
        seconds: Numbers = int(first.timestamp()) + 3600 * np.arange(self.count) + offsets
        return seconds

    def _offset_s(self, instant: datetime) -> int:
        offset = instant.astimezone(self.zone).utcoffset()
        return 0 if offset is None else int(offset.total_seconds())

    @cached_property
    def local_hour(self) -> Numbers:
        """Hour of the local day. [h], 0..23; int64 (hours,)."""
        return self.local_seconds // 3600 % 24

    @cached_property
    def local_day(self) -> Numbers:
        """Proleptic ordinal of the local date [d]; int64 (hours,)."""
        return self.local_seconds // 86400 + _EPOCH_ORDINAL

    @cached_property
    def month_index(self) -> Numbers:
        """Months since year 0 of the local date [-]; int64 (hours,)."""
        months = self.local_seconds.astype("datetime64[s]").astype("datetime64[M]")
        return months.astype(np.int64) + 1970 * 12

    @property
    def first_day(self) -> date:
        """Local date of the first hour."""
        return date.fromordinal(int(self.local_day[0]))

    @property
    def end(self) -> datetime:
        """The instant after the last hour."""
        return self.start.astimezone(UTC) + self.count * _HOUR

    def part(self, first: int, stop: int) -> HourRange:
        """Return the hours `first` up to but not including `stop`."""
        if not 0 <= first <= stop <= self.count:
            raise InputError("part", f"{first}..{stop} does not lie in 0..{self.count}")
        start = self.start.astimezone(UTC) + first * _HOUR
        return HourRange(start=start, count=stop - first, zone=self.zone)


def hours_of_days(first: date, last: date, zone: ZoneInfo) -> HourRange:
    """Return the hours from local midnight of `first` to the end of `last`.

    In a zone with half-hour offsets the range begins with the first full UTC hour.

    Parameters
    ----------
    first, last
        Local dates; together 1..21960 days.
    zone
        Clock of the place.

    Raises
    ------
    InputError
        If `last` lies before `first`.

    References
    ----------
    IANA time zone database, as Python reads it: days of 23, 24 or 25 hours.
    """
    if last < first:
        raise InputError("last", f"{last} lies before {first}")
    start = datetime.combine(first, time(), zone).astimezone(UTC)
    end = datetime.combine(last + timedelta(days=1), time(), zone).astimezone(UTC)
    start = start.replace(minute=0, second=0) + (_HOUR if start.minute else timedelta(0))
    count = -(-int((end - start).total_seconds()) // 3600)
    return HourRange(start=start, count=count, zone=zone)
