"""First and last frost of each season, from daily minima.

A season runs from 1 July to 30 June (1 January to 31 December in the south), so that a first frost
in January belongs to the winter before it. Days are counted in a year of 365 days, 29 February as
the 28th; in the months after New Year the count goes on past 365.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum
from typing import TYPE_CHECKING

from tubcare.energy.ranges import require
from tubcare.energy.weather_kind import WeatherKind
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_DAYS_BEFORE_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
_DAYS_OF_YEAR = 365
# Utah Climate Center: a season with more missing days before the date is dropped.
_MOST_MISSING = 10


class SeasonStart(IntEnum):
    """Month with which a frost season begins."""

    NORTH = 7
    SOUTH = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyMinima:
    """Lowest air temperature of each day [°C] by date, and where it comes from."""

    by_day: tuple[tuple[date, float], ...]
    kind: WeatherKind = WeatherKind.MEASURED

    def __post_init__(self) -> None:
        for day, minimum_c in self.by_day:
            if not -95.0 <= minimum_c <= 60.0:
                raise InputError("by_day", f"{minimum_c} °C on {day} cannot be a daily minimum")


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostRule:
    """What counts as frost.

    Parameters
    ----------
    level_c
        Limit. [°C], -30..10: 0 for still plumbing, -2.2 (28 °F) for a hard freeze
    strict
        True: below the level (ETCCDI frost days, TN < 0 °C). False: at it as well (the US National
        Weather Service, 32 °F or below).
    offset_c
        Added to each minimum: the tub's place against the station. [K], -10..10; on clear nights a
        deck or hollow is often 1 to 3 K colder (from memory)
    season_start
        Month with which a season begins.
    """

    level_c: float = 0.0
    strict: bool = True
    offset_c: float = 0.0
    season_start: SeasonStart = SeasonStart.NORTH

    def __post_init__(self) -> None:
        require("level_c", self.level_c, -30.0, 10.0)
        require("offset_c", self.offset_c, -10.0, 10.0)

    def is_frost(self, minimum_c: float) -> bool:
        """Say whether a day with this minimum counts."""
        # Readings have a digit or two; the rest is what adding and converting left behind.
        here_c = round(minimum_c + self.offset_c, 6)
        return here_c < self.level_c if self.strict else here_c <= self.level_c


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonDate:
    """The day of a season's first or last frost, None when it had none.

    `season` is the year in which the season began.
    """

    season: int
    day: int | None


def day_of_season(day: date, start: SeasonStart = SeasonStart.NORTH) -> tuple[int, int]:
    """Return the year in which the season of `day` began, and the day's number.

    Raises nothing; the number is a day of a 365-day year [d], 1..365, and past New Year 366..545.

    Parameters
    ----------
    day
        Any date; 29 February counts as the 28th.
    start
        Month with which a season begins, 7 or 1.

    References
    ----------
    July to June: climate indices of the ETCCDI and Vestal 1971; 365-day year: Utah Climate Center.

    Examples
    --------
    >>> day_of_season(date(2024, 10, 1))
    (2024, 274)
    >>> day_of_season(date(2025, 1, 1))
    (2024, 366)
    """
    in_month = 28 if (day.month, day.day) == (2, 29) else day.day
    number = _DAYS_BEFORE_MONTH[day.month - 1] + in_month
    if day.month >= start:
        return day.year, number
    return day.year - 1, number + _DAYS_OF_YEAR


def date_in_season(season: int, day: int) -> date:
    """Return the date of a day's number in the season that began in the year `season`.

    Parameters
    ----------
    season
        Year in which it begins. [-], 2..9997
    day
        Number as of `day_of_season`. [d], -365..1095

    Raises
    ------
    OutOfRangeError
        If the number lies over a year before or after the season.

    References
    ----------
    Own definition, the inverse of `day_of_season`.
    """
    require("day", day, -_DAYS_OF_YEAR, 3 * _DAYS_OF_YEAR)
    years, number = divmod(day - 1, _DAYS_OF_YEAR)
    month = max(m for m in range(12) if _DAYS_BEFORE_MONTH[m] <= number)
    return date(season + years, month + 1, number - _DAYS_BEFORE_MONTH[month] + 1)


def frost_days_by_year(minima: DailyMinima, rule: FrostRule) -> dict[int, int]:
    """Return how many frost days each calendar year has.

    Raises nothing; counts are [d].

    Parameters
    ----------
    minima
        Of each day. [°C], -95..60
    rule
        What counts as frost.

    References
    ----------
    ETCCDI index FD, TN < 0 °C (WMO-TD 1500).
    """
    counts: dict[int, int] = {}
    for day, minimum_c in minima.by_day:
        counts[day.year] = counts.get(day.year, 0) + rule.is_frost(minimum_c)
    return counts


def first_frosts(minima: DailyMinima, rule: FrostRule) -> tuple[SeasonDate, ...]:
    """Return the first frost of each season that has enough days before it.

    Parameters
    ----------
    minima
        Of each day. [°C], -95..60
    rule
        What counts as frost, and when a season begins.

    Raises
    ------
    InputError
        If the minima come from a typical year: it holds no spread between years.

    References
    ----------
    July to June: Vestal 1971; at most 10 missing days before the date: Utah Climate Center.
    """
    _require_real_years(minima)
    found = []
    for season, days in _by_season(minima, rule.season_start):
        frosts = [day for day, minimum_c in days if rule.is_frost(minimum_c)]
        first, last = _bounds(season, rule.season_start)
        until = min(frosts) if frosts else last
        if _missing(days, first, until) <= _MOST_MISSING:
            number = day_of_season(until, rule.season_start)[1] if frosts else None
            found.append(SeasonDate(season=season, day=number))
    return tuple(found)


def last_frosts(minima: DailyMinima, rule: FrostRule) -> tuple[SeasonDate, ...]:
    """Return the last frost of each season that has enough days after it.

    Parameters
    ----------
    minima
        Of each day. [°C], -95..60
    rule
        What counts as frost, and when a season begins.

    Raises
    ------
    InputError
        If the minima come from a typical year.

    References
    ----------
    As `first_frosts`.
    """
    _require_real_years(minima)
    found = []
    for season, days in _by_season(minima, rule.season_start):
        frosts = [day for day, minimum_c in days if rule.is_frost(minimum_c)]
        first, last = _bounds(season, rule.season_start)
        since = max(frosts) if frosts else first
        if _missing(days, since, last) <= _MOST_MISSING:
            number = day_of_season(since, rule.season_start)[1] if frosts else None
            found.append(SeasonDate(season=season, day=number))
    return tuple(found)


def _require_real_years(minima: DailyMinima) -> None:
    if minima.kind is not WeatherKind.MEASURED:
        raise InputError(
            "minima",
            "a typical year holds no spread between years; frost dates need daily minima as"
            " measured in many years",
        )


def _by_season(
    minima: DailyMinima, start: SeasonStart
) -> Iterator[tuple[int, Sequence[tuple[date, float]]]]:
    seasons: dict[int, list[tuple[date, float]]] = {}
    for day, minimum_c in minima.by_day:
        seasons.setdefault(day_of_season(day, start)[0], []).append((day, minimum_c))
    yield from sorted(seasons.items())


def _bounds(season: int, start: SeasonStart) -> tuple[date, date]:
    first = date(season, int(start), 1)
    return first, date(season + 1, int(start), 1) - timedelta(days=1)


def _missing(days: Sequence[tuple[date, float]], first: date, last: date) -> int:
    have = len({day for day, _ in days if first <= day <= last})
    return (last - first).days + 1 - have
