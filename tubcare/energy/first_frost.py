"""The first frosts of a season at a chosen risk: from when to watch, by when to be dry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.frost_dates import DailyMinima, FrostRule, date_in_season, first_frosts
from tubcare.energy.frost_risk import risk_date
from tubcare.energy.ranges import require

if TYPE_CHECKING:
    from tubcare.energy.frost_risk import RiskDate

HARD_FREEZE_C = -4.0


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
    return _before_first(minima, rule or FrostRule(), season, risk, lead_days=0)


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
    hard = rule or FrostRule(level_c=HARD_FREEZE_C)
    return _before_first(minima, hard, season, risk, lead_days=lead_days)


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
    require("lead_days", lead_days, 0, 60)
    if found.safe_day is None:
        return None
    return date_in_season(season, found.safe_day) - timedelta(days=lead_days)


def _before_first(
    minima: DailyMinima, rule: FrostRule, season: int, risk: float, *, lead_days: int
) -> PlanDate:
    found = risk_date(first_frosts(minima, rule), risk)
    return PlanDate(on=planned_on(season, found, lead_days=lead_days), rests_on=found)
