"""When to run the chiller: the cheapest hours to come within a band that the person allows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.cheap_hours import Band, RunningPlan, plan_running
from tubcare.energy.hours import HourRange
from tubcare.energy.uncertainty import Estimate, estimate
from tubcare.errors import InputError
from tubcare.services import fields
from tubcare.services.frost_tonight import newest_water
from tubcare.services.moments import happened_at
from tubcare.services.power_site import read_site

if TYPE_CHECKING:
    from tubcare.energy.tub import Tub
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_HOUR = timedelta(hours=1)
MOST_HOURS = 168


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedHour:
    """One hour: its local beginning, share of it to run [-], water at its end [°C], its price."""

    begins: datetime
    run_share: float
    water_c: float
    price_minor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursPlan:
    """When to run, what that costs and saves against a thermostat. Money in minor units.

    The ranges are those of the best plans for tubs that this one may be as well.
    """

    tub: TubPlace
    band: Band
    start_c: float
    hours: tuple[PlannedHour, ...]
    cost: Estimate
    saving: Estimate
    leaves_band_h: int

    @property
    def run_h(self) -> float:
        """How long the chiller runs in all. [h]."""
        return sum(hour.run_share for hour in self.hours)


def plan_hours(
    desk: Desk, tub: TubId | str | None, *, low_c: float, high_c: float, hours: int = 24
) -> HoursPlan:
    """Return the cheapest hours to run the chiller from the next full hour on.

    Parameters
    ----------
    desk
        The open logbook.
    tub
        By id or name; the only one when None.
    low_c, high_c
        Water temperatures that are allowed. [°C], 0.5..30
    hours
        How far ahead. [h], 1..168

    Raises
    ------
    InputError
        When weather or a price is missing for these hours, or the tub has no chiller.
    OutOfRangeError
        When the band or the number of hours cannot be used.
    """
    fields.quantity("hours", hours, 1, MOST_HOURS)
    band = Band(low_c=low_c, high_c=high_c)
    with desk.read() as connection:
        found = read_site(connection, tub)
        _day, now = happened_at(desk, found.build.place.zone, None)
        water = newest_water(connection, found.build.place.id, now)
    site, place = found.site, found.build.place
    if site.tariff is None:
        raise InputError("price", "set the price of power first")
    if found.build.described.cooling_w == 0.0:
        raise InputError("cooling_w", "this tub has no chiller to plan")
    if site.weather.typical is None:
        raise InputError(
            "weather", "hours to come need typical weather; type twelve monthly means first"
        )
    ahead = HourRange(start=_next_hour(now), count=hours, zone=site.weather.zone)
    start_c = water[0] if water is not None else found.build.described.set_point_c
    weather, tariff = site.weather.typical.for_hours(ahead), site.tariff

    def planned(tub: Tub) -> RunningPlan:
        return plan_running(tub, ahead, weather, tariff=tariff, band=band, start_c=start_c)

    def money(tub: Tub) -> tuple[float, ...]:
        plan = planned(tub)
        return plan.cost_minor, plan.saving_minor

    plan, costs = planned(site.tub), estimate(site.tub, site.spread, money)
    prices = site.tariff.energy.minor_per_kwh(ahead) * float(site.tariff.with_tax)
    return _shown(place, band, start_c, ahead, plan, prices.tolist(), costs)


def _shown(  # noqa: PLR0913, PLR0917  the parts of one plan
    place: TubPlace,
    band: Band,
    start_c: float,
    ahead: HourRange,
    plan: RunningPlan,
    prices: list[float],
    costs: tuple[Estimate, ...],
) -> HoursPlan:
    begins = [(ahead.start + n * _HOUR).astimezone(ahead.zone) for n in range(ahead.count)]
    rows = zip(begins, plan.run_share.tolist(), plan.water_c.tolist(), prices, strict=True)
    return HoursPlan(
        tub=place,
        band=band,
        start_c=start_c,
        hours=tuple(
            PlannedHour(begins=at, run_share=share, water_c=water_c, price_minor=price)
            for at, share, water_c, price in rows
        ),
        cost=costs[0],
        saving=costs[1],
        leaves_band_h=plan.leaves_band_h,
    )


def _next_hour(now: datetime) -> datetime:
    floor = now.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    return floor + _HOUR
