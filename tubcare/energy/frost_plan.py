"""The frost dates that a person plans by, from daily minima and what they chose."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from tubcare.energy.first_frost import HARD_FREEZE_C, PlanDate, dry_by, planned_on, watch_from
from tubcare.energy.frost_dates import FrostRule, SeasonStart, day_of_season, first_frosts
from tubcare.energy.frost_risk import risk_date
from tubcare.energy.last_frost import watch_until
from tubcare.energy.ranges import require

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.energy.frost_dates import DailyMinima, SeasonDate

# Risks for which both dates are kept, beside the chosen ones: a task may ask for its own.
LADDER_PERCENT = (1, 2, 5, 10, 20, 30, 50)
# Dates are kept as month and day; this season has no leap day in it.
_PLAIN_SEASON = 2025
_AROUND_JANUARY = frozenset({12, 1, 2})
_AROUND_JULY = frozenset({6, 7, 8})
_DAYS_TO_TELL = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostChoices:
    """What a person chose about frost.

    Parameters
    ----------
    watch_risk_percent, dry_risk_percent
        Accepted share of seasons with an earlier frost. [%], 1..99
    dry_level_c
        The harder level of "dry by". [°C], -30..0
    at_level_counts
        Whether a night exactly at the level counts as frost.
    offset_c
        Added to each minimum: the tub's place against the station. [K], -10..10
    lead_days
        Days to do the job in. [d], 0..60
    """

    watch_risk_percent: int = 10
    dry_risk_percent: int = 10
    dry_level_c: float = HARD_FREEZE_C
    at_level_counts: bool = False
    offset_c: float = 0.0
    lead_days: int = 5

    def __post_init__(self) -> None:
        require("watch_risk_percent", self.watch_risk_percent, 1, 99)
        require("dry_risk_percent", self.dry_risk_percent, 1, 99)
        require("dry_level_c", self.dry_level_c, -30.0, 0.0)
        require("offset_c", self.offset_c, -10.0, 10.0)
        require("lead_days", self.lead_days, 0, 60)

    def watch_rule(self, start: SeasonStart) -> FrostRule:
        """Return what counts as the frost to watch for: 0 °C."""
        return self._rule(0.0, start)

    def dry_rule(self, start: SeasonStart) -> FrostRule:
        """Return what counts as the frost before which all must be dry."""
        return self._rule(self.dry_level_c, start)

    def _rule(self, level_c: float, start: SeasonStart) -> FrostRule:
        return FrostRule(
            level_c=level_c,
            strict=not self.at_level_counts,
            offset_c=self.offset_c,
            season_start=start,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostPlan:
    """The three dates of one season, each with what it rests on."""

    season: int
    watch_from: PlanDate
    dry_by: PlanDate
    watch_until: PlanDate


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskDates:
    """Both dates at one risk as days of a year without a leap day; None when frost is rarer."""

    risk_percent: int
    watch_from: tuple[int, int] | None
    dry_by: tuple[int, int] | None


def frost_plan(
    minima: DailyMinima, choices: FrostChoices, *, season: int, start: SeasonStart
) -> FrostPlan:
    """Return the dates for the season that begins in the year `season`.

    Parameters
    ----------
    minima
        Of each day of many years. [°C], -95..60
    choices
        Risks, level, offset and lead, in the units of its fields.
    season
        Year in which it begins. [-], 1..9998
    start
        Month with which a season begins, 7 or 1.

    Raises
    ------
    InputError
        If there are fewer than three seasons, or the minima come from a typical year.
    OutOfRangeError
        If a date lies over a year outside the season.

    References
    ----------
    As `watch_from`, `dry_by` and `watch_until`.
    """
    watching = choices.watch_rule(start)
    watch_risk, dry_risk = choices.watch_risk_percent / 100, choices.dry_risk_percent / 100
    return FrostPlan(
        season=season,
        watch_from=watch_from(minima, season=season, risk=watch_risk, rule=watching),
        dry_by=dry_by(
            minima,
            season=season,
            risk=dry_risk,
            rule=choices.dry_rule(start),
            lead_days=choices.lead_days,
        ),
        watch_until=watch_until(minima, season=season, risk=watch_risk, rule=watching),
    )


def dates_by_risk(
    minima: DailyMinima, choices: FrostChoices, *, start: SeasonStart
) -> tuple[RiskDates, ...]:
    """Return both dates for each risk that a task may ask for, the chosen ones included.

    Parameters
    ----------
    minima
        Of each day of many years. [°C], -95..60
    choices
        Level, offset and lead; their risks are among those returned.
    start
        Month with which a season begins, 7 or 1.

    Raises
    ------
    InputError
        As `frost_plan`.

    References
    ----------
    As `risk_date`; the ladder of risks is our own choice.
    """
    first = first_frosts(minima, choices.watch_rule(start))
    hard = first_frosts(minima, choices.dry_rule(start))
    risks = sorted({*LADDER_PERCENT, choices.watch_risk_percent, choices.dry_risk_percent})
    return tuple(
        RiskDates(
            risk_percent=percent,
            watch_from=_month_day(first, percent, lead_days=0),
            dry_by=_month_day(hard, percent, lead_days=choices.lead_days),
        )
        for percent in risks
    )


def season_start_of(minima: DailyMinima) -> SeasonStart | None:
    """Return the month with which a season begins where these minima were measured, by its cold.

    None while December to February or June to August have fewer than 60 days on record.

    Raises nothing.

    Parameters
    ----------
    minima
        Of each day. [°C], -95..60

    References
    ----------
    Own definition: half a year away from the colder of both quarters of the year.
    """
    around_january = [value for day, value in minima.by_day if day.month in _AROUND_JANUARY]
    around_july = [value for day, value in minima.by_day if day.month in _AROUND_JULY]
    if min(len(around_january), len(around_july)) < _DAYS_TO_TELL:
        return None
    return SeasonStart.NORTH if fmean(around_january) <= fmean(around_july) else SeasonStart.SOUTH


def season_of(day: date, start: SeasonStart) -> int:
    """Return the year in which the frost season that holds `day` began. [-].

    Raises nothing.

    Parameters
    ----------
    day
        Any date.
    start
        Month with which a season begins, 7 or 1.

    References
    ----------
    As `day_of_season`.
    """
    return day_of_season(day, start)[0]


def _month_day(
    seasons: Sequence[SeasonDate], percent: int, *, lead_days: int
) -> tuple[int, int] | None:
    on = planned_on(_PLAIN_SEASON, risk_date(seasons, percent / 100), lead_days=lead_days)
    return None if on is None else (on.month, on.day)
