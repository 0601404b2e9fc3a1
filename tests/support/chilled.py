"""A tub with a chiller, and the weather that it stands in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.support.plans import add_tub
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.services.tubs import change_profile, tubs

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.services.power import Power
    from tubcare.values import Liner, TubId

AIR_C = (-4.0, -4.0, 0.0, 5.0, 11.0, 15.0, 18.0, 16.0, 11.0, 6.0, 1.0, -2.0)
MEANS = MonthlyMeans(air_c=AIR_C)
SUNNY_MEANS = MonthlyMeans(air_c=AIR_C, latitude_deg=60.0)


def give_chiller(desk: Desk, tub: TubId, liner: Liner | None = None) -> None:
    """Give a tub a chiller of 300 W and a pump of 40 W; its liner stays unless one is named."""
    profile = next(each.profile for each in tubs(desk) if each.id == tub)
    wanted = replace(profile, chiller_w=300.0, pump_w=40.0, liner=liner or profile.liner)
    change_profile(desk, tub, wanted)


def chilled_tub(desk: Desk, *, opened: date, liner: Liner | None = None) -> TubId:
    """Add a tub with that chiller, running since the day of its opening."""
    tub = add_tub(desk, opened=opened)
    give_chiller(desk, tub, liner)
    return tub


def read_kwh(desk: Desk, tub: TubId, on: date, kwh: float) -> None:
    """Write down what the tub's meter stood at, in kWh."""
    add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=round(kwh * 1000)), on=on)


def modelled_kwh(found: Power) -> float:
    """Return the kWh of the season as modelled; there must be some."""
    assert found.season is not None
    assert found.season.modelled is not None
    return found.season.modelled.kwh.value
