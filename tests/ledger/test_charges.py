"""Power by meter and price, water by litres and price."""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.charges import (
    MeterReading,
    energy_wh,
    metered_charge,
    power_minor,
    water_minor,
)
from tubcare.ledger.currency import currency

EUR, JPY = currency("EUR"), currency("JPY")
PRICE = Decimal("0.32")


def reading(day: int, kwh: float, *, new: bool = False) -> MeterReading:
    return MeterReading(on=date(2026, 5, day), value_milli=round(kwh * 1000), starts_meter=new)


def test_the_difference_of_two_readings_is_charged() -> None:
    charge = metered_charge(
        [reading(1, 1200), reading(31, 1263.5)], price_per_kwh=PRICE, currency=EUR
    )
    assert (charge.energy_wh, charge.minor) == (63_500, 2032)
    assert (charge.from_on, charge.on) == (date(2026, 5, 1), date(2026, 5, 31))


def test_an_exchange_of_the_meter_counts_both_meters() -> None:
    taken = [reading(1, 9990), reading(10, 9999), reading(10, 3, new=True), reading(31, 24)]
    assert energy_wh(taken) == 9_000 + 21_000


def test_a_reading_lower_than_the_last_is_refused_with_the_way_out() -> None:
    with pytest.raises(
        InputError, match=r"12 kWh is lower than 15\.5 kWh of 2026-05-01"
    ) as caught:
        energy_wh([reading(1, 15.5), reading(2, 12)])
    assert "new meter" in caught.value.reason


def test_a_reading_older_than_the_last_is_refused() -> None:
    with pytest.raises(InputError, match="lies before"):
        energy_wh([reading(2, 1), reading(1, 2)])


def test_a_single_reading_makes_no_charge() -> None:
    with pytest.raises(InputError, match="one more"):
        energy_wh([reading(1, 5)])


def test_the_same_value_twice_costs_nothing() -> None:
    taken = [reading(1, 5), reading(2, 5)]
    assert metered_charge(taken, price_per_kwh=PRICE, currency=EUR).minor == 0


def test_a_currency_without_minor_unit_rounds_to_whole_units() -> None:
    assert power_minor(10_500, price_per_kwh=Decimal(31), currency=JPY) == 326


@pytest.mark.parametrize("value_milli", [-1, 10**12 + 1])
def test_a_value_that_no_meter_shows_is_refused(value_milli: int) -> None:
    with pytest.raises(OutOfRangeError, match="value_milli"):
        MeterReading(on=date(2026, 5, 1), value_milli=value_milli)


@pytest.mark.parametrize("price", ["-0.01", "1e12"])
def test_an_absurd_price_is_refused(price: str) -> None:
    with pytest.raises(OutOfRangeError, match="price_per_kwh"):
        power_minor(1, price_per_kwh=Decimal(price), currency=EUR)


@pytest.mark.parametrize("price", ["nan", "sNaN", "inf", "1e-999999"])
def test_what_is_no_price_is_refused(price: str) -> None:
    with pytest.raises(InputError, match="price_per_m3"):
        water_minor(1, price_per_m3=Decimal(price), currency=EUR)


def test_an_absurd_result_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="minor"):
        power_minor(10**12, price_per_kwh=Decimal(10**6), currency=EUR)


@pytest.mark.parametrize("litres", [-1, 100_001, float("nan"), float("inf")])
def test_absurd_litres_are_refused(litres: float) -> None:
    with pytest.raises(OutOfRangeError, match="litres"):
        water_minor(litres, price_per_m3=Decimal(1), currency=EUR)


def test_a_negative_energy_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="energy_wh"):
        power_minor(-1, price_per_kwh=PRICE, currency=EUR)


@given(st.integers(0, 10**8), st.decimals(0, 10, places=5))
def test_power_is_the_product_rounded_once(energy: int, price: Decimal) -> None:
    wanted = (Decimal(energy) / 1000 * price).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)
    assert power_minor(energy, price_per_kwh=price, currency=EUR) == int(wanted * 100)


@given(st.decimals(0, 100_000, places=2), st.decimals(0, 50, places=3))
def test_litres_count_as_written(litres: Decimal, price: Decimal) -> None:
    assert water_minor(float(litres), price_per_m3=price, currency=EUR) == water_minor(
        litres, price_per_m3=price, currency=EUR
    )
