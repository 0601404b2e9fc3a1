"""The last frost of spring at a chosen risk: until when a stopped pump must not go unnoticed."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.energy.first_frost import PlanDate
from tubcare.energy.frost_dates import (
    DailyMinima,
    FrostRule,
    SeasonDate,
    date_in_season,
    last_frosts,
)
from tubcare.energy.frost_risk import RiskDate, risk_date

if TYPE_CHECKING:
    from collections.abc import Sequence


def late_risk_date(seasons: Sequence[SeasonDate], risk: float) -> RiskDate:
    """Return the day after which frost still came in a share `risk` of the seasons.

    Parameters
    ----------
    seasons
        Last frosts; at least three seasons.
    risk
        Accepted share of seasons with a later frost. [-], 0.001..0.999

    Raises
    ------
    InputError
        If there are fewer than three seasons.
    OutOfRangeError
        If the risk lies outside its range.

    Notes
    -----
    The first frost of a year read backwards: Weibull positions are the same from both ends.

    References
    ----------
    As `risk_date`.
    """
    backwards = [
        replace(season, day=None if season.day is None else -season.day) for season in seasons
    ]
    found = risk_date(backwards, risk)
    return replace(
        found,
        day=_turned(found.day),
        earliest=_turned(found.latest),
        latest=_turned(found.earliest),
    )


def watch_until(
    minima: DailyMinima, *, season: int, risk: float, rule: FrostRule | None = None
) -> PlanDate:
    """Return the day up to which frost must be watched for in spring.

    Parameters
    ----------
    minima
        Daily minima of many years.
    season
        Year in which the season begins for which the date is wanted. [-], 2..9997
    risk
        Accepted share of seasons with a later frost. [-], 0.001..0.999
    rule
        What counts as frost; 0 °C when None.

    Raises
    ------
    InputError
        If there are fewer than three seasons, or the minima come from a typical year.
    OutOfRangeError
        If the risk lies outside its range.

    References
    ----------
    As `last_frosts` and `late_risk_date`.
    """
    found = late_risk_date(last_frosts(minima, rule or FrostRule()), risk)
    day = found.latest if found.day is None else found.day
    on = None if day is None else date_in_season(season, math.ceil(day))
    return PlanDate(on=on, rests_on=found)


def _turned(day: float | None) -> float | None:
    return None if day is None else -day
