"""How long pump and chiller usually run in each month: kept, so that any list may read it.

Worked out anew whenever weather, build or learning change, in the same transaction.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from tubcare.services.power_build import keep_power_plan
from tubcare.services.power_days import Mode, Stretch
from tubcare.services.power_model import DayModel
from tubcare.services.power_site import read_site

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.services.power_build import TubBuild
    from tubcare.services.power_site import PowerSite
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

_PLAIN_YEAR = 2025


def refresh_usual(unit: Unit, build: TubBuild) -> None:
    """Bring the usual hours of a tub in line with what is kept about it."""
    keep_power_plan(unit, build.place.id, usual=usual_hours(unit.connection, build.place.id))


def usual_hours(connection: Connection, tub: TubId) -> dict[str, Any]:
    """Return hours [h] and energy [kWh] of a usual open day of each month, January first.

    The pump's follow from the build alone; the chiller's and the energy need weather, and are left
    out of months for which there is none.
    """
    found = read_site(connection, tub)
    hours = found.build.described.pump_hours_per_day
    pump_h = hours if found.build.described.pump_w > 0 else 0.0
    usual: dict[str, Any] = {"pump_h": [pump_h] * 12}
    by_month = _by_month(found)
    if by_month is not None:
        usual["kwh"], usual["chiller_h"] = by_month
    return usual


def _by_month(found: PowerSite) -> tuple[list[float | None], list[float | None]] | None:
    weather = found.site.weather
    if weather.typical is not None:
        first, last = date(_PLAIN_YEAR, 1, 1), date(_PLAIN_YEAR, 12, 31)
    elif weather.measured is not None:
        first = weather.measured.hours.first_day
        last = weather.measured.hours.end.astimezone(weather.zone).date()
    else:
        return None
    model = DayModel(found.site, (Stretch(first=first, last=last, mode=Mode.RUNNING),))
    run = model.by_day()
    days = [date.fromordinal(first.toordinal() + n) for n in range(run.kwh.size)]
    known = np.array([model.knows(day) for day in days])
    month = np.array([day.month for day in days])
    return _means(run.kwh, month, known), _means(run.run_h, month, known)


def _means(values: np.ndarray, month: np.ndarray, known: np.ndarray) -> list[float | None]:
    found: list[float | None] = []
    for number in range(1, 13):
        where = (month == number) & known
        found.append(round(float(values[where].mean()), 4) if where.any() else None)
    return found
