from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.energy.builders import flat_tariff, make_hours, make_tub, make_weather
from tubcare.energy.cheap_hours import Band, plan_running
from tubcare.energy.hourly_load import Thermostat
from tubcare.energy.hourly_price import HourlyPrice
from tubcare.energy.load import acting
from tubcare.energy.tariff import Tariff
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.energy.hourly_load import HourlyLoad
    from tubcare.energy.hours import HourRange

# A day as an exchange may publish it: cheap at night, dear in the evening.
PRICES = [4, 3, 2, 2, 3, 5, 9, 16, 19, 14, 10, 8, 7, 6, 7, 9, 12, 20, 26, 22, 15, 10, 7, 5]


def _tariff(hours: HourRange, prices: list[int]) -> Tariff:
    by_start = {
        hours.start + timedelta(hours=n): Decimal(prices[n % len(prices)])
        for n in range(hours.count)
    }
    return Tariff(energy=HourlyPrice(by_start=by_start))


def test_a_plan_keeps_the_band_and_saves() -> None:
    hours, weather = make_hours(48), make_weather([18.0] * 48)
    plan = plan_running(
        make_tub(),
        hours,
        weather,
        tariff=_tariff(hours, PRICES),
        band=Band(low_c=3.0, high_c=5.5),
        start_c=4.2,
    )
    assert plan.leaves_band_h == 0
    assert float(plan.water_c.max()) <= 5.55
    assert float(plan.water_c.min()) >= 2.95
    assert plan.saving_minor > 0.2 * plan.thermostat_minor
    dear = np.array(PRICES * 2) >= 15
    assert plan.run_share[dear].sum() == 0.0


@given(prices=st.lists(st.integers(-20, 60), min_size=24, max_size=24))
def test_a_plan_never_costs_noticeably_more_than_the_thermostat(prices: list[int]) -> None:
    hours, weather = make_hours(24), make_weather([16.0] * 24)
    plan = plan_running(
        make_tub(),
        hours,
        weather,
        tariff=_tariff(hours, prices),
        band=Band(low_c=3.0, high_c=5.0),
        start_c=4.0,
    )
    # Quarters of an hour and a grid of temperatures leave a few per cent of a day's cost.
    day_minor = 0.8 * max(abs(price) for price in prices)
    assert plan.cost_minor <= plan.thermostat_minor + 0.06 * day_minor + 0.05
    assert plan.leaves_band_h == 0


def test_negative_prices_are_used_to_store_cold() -> None:
    hours, weather = make_hours(24), make_weather([15.0] * 24)
    prices = [-10] * 4 + [30] * 20
    plan = plan_running(
        make_tub(),
        hours,
        weather,
        tariff=_tariff(hours, prices),
        band=Band(low_c=3.0, high_c=5.0),
        start_c=4.5,
    )
    assert plan.run_share[:4].sum() >= 1.0
    assert float(plan.water_c[3]) < 3.5


def test_a_chiller_too_small_is_said_to_leave_the_band() -> None:
    hours, weather = make_hours(24), make_weather([35.0] * 24)
    plan = plan_running(
        make_tub(ua_w_k=35.0, cooling_w=300.0),
        hours,
        weather,
        tariff=flat_tariff(),
        band=Band(low_c=3.0, high_c=5.0),
        start_c=5.0,
    )
    assert plan.leaves_band_h > 12
    assert (plan.run_share == 1.0).all()


def test_an_hour_without_a_price_cannot_be_planned() -> None:
    hours, weather = make_hours(24), make_weather([15.0] * 24)
    short = _tariff(hours.part(0, 23), PRICES)
    with pytest.raises(InputError, match="no price"):
        plan_running(
            make_tub(),
            hours,
            weather,
            tariff=short,
            band=Band(low_c=3.0, high_c=5.0),
            start_c=4.0,
        )
    with pytest.raises(OutOfRangeError, match="high_c"):
        Band(low_c=4.0, high_c=4.1)


def _ends_c(load: HourlyLoad, start_c: float, shares: tuple[float, ...]) -> list[float]:
    """Return the water at the end of each hour, the chiller running first for its share."""

    def relaxed(water_c: float, gain_w: float, slope_w_k: float, passed_s: float) -> float:
        rest_c = gain_w / slope_w_k
        decay = math.exp(-slope_w_k * passed_s / load.heat_capacity_j_k)
        return rest_c + (water_c - rest_c) * decay

    water_c, ends = start_c, []
    for hour, share in enumerate(shares):
        gain_w, slope_w_k = float(load.gain_w[hour]), float(load.slope_w_k[hour])
        cooling_w, more_w_k = float(load.cooling_w[hour]), float(load.cooling_slope_w_k[hour])
        cooled = relaxed(water_c, gain_w - cooling_w, slope_w_k + more_w_k, 3600.0 * share)
        water_c = relaxed(cooled, gain_w, slope_w_k, 3600.0 * (1.0 - share))
        ends.append(water_c)
    return ends


@pytest.mark.parametrize("seed", [312, 493, 612, 900, 1195, 1234])
def test_where_no_plan_keeps_the_band_none_leaves_it_by_less(seed: int) -> None:
    """All 625 plans of four hours tried, of tubs drawn at random that none keeps in the band."""
    draw = random.Random(seed)
    hours = make_hours(4)
    tub = make_tub(
        ua_w_k=draw.uniform(10.0, 35.0),
        pump_w=draw.choice([0.0, 150.0]),
        cooling_w=draw.uniform(200.0, 1500.0),
    )
    weather = make_weather([draw.uniform(-15.0, 38.0) for _ in range(4)])
    low_c, wide_k = draw.uniform(1.5, 6.0), draw.choice([0.3, 0.5, 1.0])
    band = Band(low_c=low_c, high_c=low_c + wide_k)
    start_c = draw.choice([low_c, low_c + wide_k / 2.0, low_c + wide_k, low_c + 2.0])
    tariff = _tariff(hours, [draw.randrange(-30, 90) for _ in range(4)])
    plan = plan_running(tub, hours, weather, tariff=tariff, band=band, start_c=start_c)

    def outside_k(ends_c: Sequence[float]) -> float:
        return sum(max(0.0, c - band.high_c) + max(0.0, band.low_c - c) for c in ends_c)

    held = replace(tub, thermostat=Thermostat(set_point_c=low_c + wide_k / 2.0))
    load = acting(held, hours, weather).load
    shares = itertools.product((0.0, 0.25, 0.5, 0.75, 1.0), repeat=4)
    least_k = min(outside_k(_ends_c(load, start_c, each)) for each in shares)
    assert least_k > 0.1
    assert outside_k(plan.water_c.tolist()) == pytest.approx(least_k, abs=0.02)
