"""Costs against plain arithmetic, zoneinfo clocks and the trade's rule of thumb."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests.reference.energy.cases import Case, case_name, cases
from tubcare.energy.cheap_hours import cheapest_hours
from tubcare.energy.energy_price import FlatPrice, PriceBand, TimeOfUse
from tubcare.energy.hourly_price import HourlyPrice
from tubcare.energy.hours import HourRange, hours_of_days
from tubcare.energy.standing_charge import StandingView, standing_minor
from tubcare.energy.tariff import Tariff, hourly_minor, rounded_minor


def _cases_with(key: str) -> list[Case]:
    return [case for case in cases("tariff") if key in case.inputs]


@pytest.mark.parametrize("case", _cases_with("h_per_day"), ids=case_name)
def test_power_times_hours_times_price(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    count = int(given["days"] * 24)
    hours = HourRange(start=datetime(2025, 4, 1, tzinfo=UTC), count=count, zone=ZoneInfo("UTC"))
    kwh = np.full(count, given["P_W"] / 1000.0 * given["h_per_day"] / 24.0)
    tariff = Tariff(
        energy=FlatPrice(price_minor_kwh=Decimal(str(given["price"])) * 100),
        standing_minor_day=Decimal(str(given["standing_per_day"])) * 100,
    )
    minor, tub_kwh = float(hourly_minor(tariff, hours, kwh).sum()), float(kwh.sum())
    standing = standing_minor(
        tariff, days=given["days"], view=StandingView.OWN_METER, tub_kwh=tub_kwh
    )
    assert tub_kwh == pytest.approx(case.expected["kWh"], abs=1e-9)
    assert minor / 100.0 == pytest.approx(case.expected["energy_cost"], abs=1e-9)
    assert float(standing) / 100.0 == pytest.approx(case.expected["standing_cost"], abs=1e-9)


def test_the_trade_check_comes_to_140_16() -> None:
    # Common practice, no source: 0.8 kW for 3 h a day in half a year at 0.32 a kWh.
    hours = HourRange(start=datetime(2025, 4, 1, tzinfo=UTC), count=4380, zone=ZoneInfo("UTC"))
    minor = hourly_minor(
        Tariff(energy=FlatPrice(price_minor_kwh=Decimal(32))), hours, np.full(4380, 0.1)
    )
    assert rounded_minor(float(minor.sum())) == 14016


def test_three_bookings_of_a_standing_charge() -> None:
    # 140 a year, 514 of 9514 kWh, 214 days: plain arithmetic.
    tariff = Tariff(
        energy=FlatPrice(price_minor_kwh=Decimal(32)), standing_minor_day=Decimal(14000) / 365
    )
    booked = [
        rounded_minor(standing_minor(tariff, days=214, view=view, tub_kwh=514.0, all_kwh=9514.0))
        for view in (StandingView.MARGINAL, StandingView.BY_ENERGY, StandingView.OWN_METER)
    ]
    assert booked == [0, 443, 8208]


def _local_prices(hours: HourRange) -> HourlyPrice:
    by_start = {}
    for number in range(hours.count):
        start = hours.start + timedelta(hours=number)
        by_start[start] = Decimal(10) + start.astimezone(hours.zone).hour
    return HourlyPrice(by_start=by_start)


@pytest.mark.parametrize("case", _cases_with("tz"), ids=case_name)
def test_a_day_of_23_or_25_hours_costs_what_its_hours_cost(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    day = date.fromisoformat(given["date"])
    hours = hours_of_days(day, day, ZoneInfo(given["tz"]))
    kwh = np.full(hours.count, given["load_kW"])
    bands = (PriceBand(from_minute=7 * 60, to_minute=22 * 60, price_minor_kwh=Decimal(30)),)
    by_use = TimeOfUse(bands=bands, otherwise_minor_kwh=Decimal(18))
    hourly = hourly_minor(Tariff(energy=_local_prices(hours)), hours, kwh)
    assert hours.count == case.expected["hours"]
    assert case.agrees(float(kwh.sum()), "kWh")
    assert case.agrees(float(hourly.sum()) / 100.0, "cost_hourly")
    in_bands = hourly_minor(Tariff(energy=by_use), hours, kwh)
    assert case.agrees(float(in_bands.sum()) / 100.0, "cost_tou")


@pytest.mark.parametrize("case", _cases_with("need_h"), ids=case_name)
def test_the_cheapest_hours_are_picked(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    prices = np.array(given["prices"])
    picked = cheapest_hours(prices, need_h=given["need_h"])
    cost = sum(share * prices[hour] for hour, share in picked) * given["P_kW"]
    assert [hour for hour, _ in picked] == case.expected["hours"]
    assert case.agrees(float(cost), "cost")
