"""What a kilowatt hour and a cubic metre cost; charges of the past keep the price they had."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.services.desk import setting
from tubcare.services.household import POWER_PRICE, WATER_PRICE, put_setting
from tubcare.services.meters import price_text
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from tubcare.services.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices in units of the logbook's currency; None where none was set."""

    power_per_kwh: Decimal | None = None
    water_per_m3: Decimal | None = None


def prices(desk: Desk) -> Prices:
    """Return the prices that the next charge will use."""
    with desk.read() as connection:
        power, water = setting(connection, POWER_PRICE), setting(connection, WATER_PRICE)
    return Prices(
        power_per_kwh=None if power is None else Decimal(power),
        water_per_m3=None if water is None else Decimal(water),
    )


def set_prices(desk: Desk, wanted: Prices) -> None:
    """Keep the prices for charges from now on; None leaves a price as it is.

    Raises
    ------
    InputError
        For a negative or absurd price.
    """
    named = ((POWER_PRICE, wanted.power_per_kwh), (WATER_PRICE, wanted.water_per_m3))
    texts = [(name, price_text(name, f"{price}")) for name, price in named if price is not None]
    with desk.write("set_prices", "", frozenset({Topic.SETTINGS, Topic.MONEY})) as unit:
        for name, text in texts:
            put_setting(unit, name, text)
