"""Power by meter and price, water by litres and price."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.charges import (
    power_minor,
    water_minor,
)
from tubcare.ledger.currency import currency

EUR, JPY = currency("EUR"), currency("JPY")
PRICE = Decimal("0.32")


def test_a_currency_without_minor_unit_rounds_to_whole_units() -> None:
    assert power_minor(10_500, price_per_kwh=Decimal(31), currency=JPY) == 326


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
