"""Frost dates at a chosen risk."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.frost_quantile import normal_fit, quantile_reach, weibull_quantile
from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.energy.frost_dates import (
        SeasonDate,
    )

# With fewer seasons a quantile is a guess: a range is shown in place of a date.
ENOUGH_SEASONS = 15
_LEAST_SEASONS = 3


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
