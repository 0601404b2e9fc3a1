"""Frost dates at a chosen risk, and the two dates to plan by."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.frost_dates import (
    DailyMinima,
    FrostRule,
    SeasonDate,
    date_in_season,
    first_frosts,
)
from tubcare.energy.frost_quantile import normal_fit, quantile_reach, weibull_quantile
from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

# With fewer seasons a quantile is a guess: a range is shown in place of a date.
ENOUGH_SEASONS = 15
_LEAST_SEASONS = 3

HARD_FREEZE_C = -4.0


class Method(StrEnum):
    """How a date at a risk was found."""

    WEIBULL = "weibull"  # from the ranked dates, plotting positions i/(n+1)
    NORMAL_FIT = "normal_fit"  # the risk lies below 1/(n+1)
    MIXED_NORMAL = "mixed_normal"  # some seasons had no frost
    NEVER = "never"  # frost comes in fewer seasons than the risk


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskDate:
    """The day before which frost came in a share `risk` of the seasons.

    `day` is None when there are too few seasons for a date (then `earliest` and `latest` bound it)
    and when frost is rarer than the risk (then `method` is NEVER and all three are None).
    """

    risk: float
    day: float | None
    earliest: float | None
    latest: float | None
    method: Method
    seasons: int
    frost_free: int

    @property
    def safe_day(self) -> int | None:
        """The day to plan by: the date, or the early end of the range. [d]."""
        day = self.earliest if self.day is None else self.day
        return None if day is None else math.floor(day)


def risk_date(seasons: Sequence[SeasonDate], risk: float) -> RiskDate:
    """Return the day by which frost came in a share `risk` of the seasons.

    Parameters
    ----------
    seasons
        First frosts; at least three seasons.
    risk
        Accepted share of seasons with an earlier frost. [-], 0.001..0.999

    Raises
    ------
    InputError
        If there are fewer than three seasons.
    OutOfRangeError
        If the risk lies outside its range.

    References
    ----------
    Seasons without frost: a discrete chance of any frost times a continuous distribution of its
    date (NOAA NCEI freeze/frost climatology). Normal fit of dates: Vestal 1971, NOAA Technical
    Memorandum. Early and late as 10 % and 90 %: Midwestern Regional Climate Center.
    """
    require("risk", risk, 0.001, 0.999)
    if len(seasons) < _LEAST_SEASONS:
        raise InputError(
            "seasons",
            f"{len(seasons)} seasons are too few to say anything; import at least"
            f" {_LEAST_SEASONS}, better {ENOUGH_SEASONS}",
        )
    days = [season.day for season in seasons if season.day is not None]
    frost_free = len(seasons) - len(days)
    share = risk * len(seasons) / len(days) if days else math.inf
    if share >= 1.0 or len(days) < _LEAST_SEASONS:
        return RiskDate(
            risk=risk,
            day=None,
            earliest=None,
            latest=None,
            method=Method.NEVER,
            seasons=len(seasons),
            frost_free=frost_free,
        )
    fitted = normal_fit(days).inv_cdf(share)
    if frost_free:
        day, method = fitted, Method.MIXED_NORMAL
    elif risk * (len(days) + 1) < 1.0:
        # No smaller risk gives a later date than the earliest frost on record.
        day, method = min(fitted, float(min(days))), Method.NORMAL_FIT
    else:
        day, method = weibull_quantile(days, share), Method.WEIBULL
    half = quantile_reach(days, share, seasons=len(seasons))
    return RiskDate(
        risk=risk,
        day=day if len(seasons) >= ENOUGH_SEASONS else None,
        earliest=day - half,
        latest=day + half,
        method=method,
        seasons=len(seasons),
        frost_free=frost_free,
    )


def frost_chance(seasons: Sequence[SeasonDate], day: int) -> float:
    """Return the chance that frost has come by the end of `day`, counting seasons without. [-].

    Dates are whole days, so the fitted distribution is read half a day later (continuity
    correction).

    Parameters
    ----------
    seasons
        First frosts; at least three with one.
    day
        Number as of `day_of_season`. [d], any

    Raises
    ------
    InputError
        If fewer than three seasons have a frost.

    References
    ----------
    NOAA NCEI freeze/frost climatology: chance of any frost times the distribution of its date.
    """
    days = [season.day for season in seasons if season.day is not None]
    if len(days) < _LEAST_SEASONS:
        raise InputError("seasons", f"needs at least {_LEAST_SEASONS} seasons with frost")
    return len(days) / len(seasons) * normal_fit(days).cdf(day + 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDate:
    """A date to plan by, and what it rests on. `on` is None when frost is rarer than the risk."""

    on: date | None
    rests_on: RiskDate


def watch_from(
    minima: DailyMinima, *, season: int, risk: float, rule: FrostRule | None = None
) -> PlanDate:
    """Return the day from which a stopped pump must not go unnoticed.

    The first frost at the chosen risk, 0 °C unless `rule` says otherwise; no grace.

    Parameters
    ----------
    minima
        Daily minima of many years.
    season
        Year in which the season begins for which the date is wanted. [-], 2..9997
    risk
        Accepted share of seasons with an earlier frost. [-], 0.001..0.999
    rule
        What counts as frost.

    Raises
    ------
    InputError
        If there are fewer than three seasons, or the minima come from a typical year.
    OutOfRangeError
        If the risk lies outside its range.

    References
    ----------
    As `first_frosts` and `risk_date`.
    """
    found = risk_date(first_frosts(minima, rule or FrostRule()), risk)
    return PlanDate(on=planned_on(season, found, lead_days=0), rests_on=found)


def dry_by(
    minima: DailyMinima,
    *,
    season: int,
    risk: float,
    rule: FrostRule | None = None,
    lead_days: int = 5,
) -> PlanDate:
    """Return the day by which everything must be dry.

    The first day at a harder level, -4 °C unless `rule` says otherwise, less the days that the job
    and the forecast need; no grace.

    Parameters
    ----------
    minima, rule
        As for `watch_from`.
    season
        Year in which the season begins for which the date is wanted. [-], 2..9997
    risk
        Accepted share of seasons with an earlier frost. [-], 0.001..0.999
    lead_days
        Days to do the job in. [d], 0..60; 3 to 7 are usual

    Raises
    ------
    InputError
        If there are fewer than three seasons, or the minima come from a typical year.
    OutOfRangeError
        If the risk or the lead lies outside its range.

    References
    ----------
    As `first_frosts` and `risk_date`; level and lead: common practice, no source.
    """
    require("lead_days", lead_days, 0, 60)
    found = risk_date(first_frosts(minima, rule or FrostRule(level_c=HARD_FREEZE_C)), risk)
    return PlanDate(on=planned_on(season, found, lead_days=lead_days), rests_on=found)


def planned_on(season: int, found: RiskDate, *, lead_days: int) -> date | None:
    """Return the date to plan by, `lead_days` before the frost; None when frost is rarer.

    Parameters
    ----------
    season
        Year in which it begins. [-], 2..9997
    found
        The day at a risk.
    lead_days
        Days to do the job in. [d], 0..60

    Raises
    ------
    OutOfRangeError
        If the day lies over a year outside the season.

    References
    ----------
    Own definition: the day is rounded down, so that the date is never late.
    """
    if found.safe_day is None:
        return None
    return date_in_season(season, found.safe_day) - timedelta(days=lead_days)
