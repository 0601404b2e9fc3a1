"""Everything that is known about frost at a tub: dates at each risk, winters, daily minima."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.frost_plan import dates_by_risk, season_of
from tubcare.services.frost import Frost, day_in_season, frost
from tubcare.services.frost_store import season_start, stored_minima
from tubcare.services.power_build import read_build
from tubcare.values import MonthDay

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskDay:
    """First frost and the day to be dry by at one risk, in the season that holds today."""

    risk_percent: int
    watch_from: date | None
    dry_by: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostRecord:
    """What is known, the dates at each risk, and the lowest temperature of each day. [°C]."""

    frost: Frost
    risks: tuple[RiskDay, ...]
    minima: tuple[tuple[date, float], ...]


def frost_record(desk: Desk, tub: TubId | str | None = None) -> FrostRecord:
    """Return everything that is known about frost at a tub.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    found = frost(desk, tub)
    with desk.read() as connection:
        profile = read_build(connection, found.tub.id).profile
        minima = stored_minima(connection, found.tub.id)
    if minima is None:
        return FrostRecord(frost=found, risks=(), minima=())
    start = season_start(profile, minima)
    season = season_of(found.today, start)

    def at(day: tuple[int, int] | None) -> date | None:
        if day is None:
            return None
        return day_in_season(MonthDay(month=day[0], day=day[1]), season, start)

    risks = tuple(
        RiskDay(
            risk_percent=each.risk_percent,
            watch_from=at(each.watch_from),
            dry_by=at(each.dry_by),
        )
        for each in dates_by_risk(minima, found.choices, start=start)
    )
    return FrostRecord(frost=found, risks=risks, minima=minima.by_day)
