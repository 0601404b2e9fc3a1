"""The tariff of a tub: flat, by time of use, or by the hour, with its standing charge."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tubcare.energy.price_text import HourlyPrices, PricePer, read_prices
from tubcare.energy.tariff import (
    EnergyPrice,
    FlatPrice,
    HourlyPrice,
    PriceBand,
    StandingView,
    Tariff,
    TimeOfUse,
)
from tubcare.errors import InputError
from tubcare.ledger.currency import currency
from tubcare.services.desk import setting
from tubcare.services.household import POWER_PRICE, logbook_currency
from tubcare.services.measures import tub_named
from tubcare.services.power_build import POWER_TOPICS, keep_power_plan, power_plan

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_MOST_PRICE = Decimal(1000)
_STEPS_OF_ONE = 100_000
_HOUR = timedelta(hours=1)


class TariffKind(StrEnum):
    """How the price goes with time."""

    FLAT = "flat"
    TIME_OF_USE = "time_of_use"
    HOURLY = "hourly"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A price for part of the local day. Minutes after midnight; Monday is 0."""

    from_minute: int
    to_minute: int
    price: Decimal
    weekdays: frozenset[int] = frozenset(range(7))


@dataclass(frozen=True, slots=True, kw_only=True)
class TariffPlan:
    """What a person said about prices, in units of the currency.

    Parameters
    ----------
    kind
        How the price goes with time.
    price
        For a kilowatt hour: the flat one, or outside all bands; None when it is not known.
    bands
        For time of use.
    hourly
        For hourly prices.
    standing_per_day
        Standing charge for a day.
    tax_percent
        Added to both. [%], 0..100
    view
        Who bears the standing charge.
    """

    kind: TariffKind = TariffKind.FLAT
    price: Decimal | None = None
    bands: tuple[Band, ...] = ()
    hourly: HourlyPrices | None = None
    standing_per_day: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)
    view: StandingView = StandingView.MARGINAL

    def tariff(self, minor_per_unit: int) -> Tariff | None:
        """Return the tariff as the engine reads it, None while no price is known."""
        energy = self._energy(minor_per_unit)
        if energy is None:
            return None
        return Tariff(
            energy=energy,
            standing_minor_day=self.standing_per_day * minor_per_unit,
            tax_percent=self.tax_percent,
        )

    def _energy(self, minor: int) -> EnergyPrice | None:
        if self.kind is TariffKind.HOURLY:
            return None if self.hourly is None else _hourly(self.hourly, minor)
        if self.price is None:
            return None
        if self.kind is TariffKind.FLAT:
            return FlatPrice(price_minor_kwh=self.price * minor)
        return TimeOfUse(
            bands=tuple(
                PriceBand(
                    from_minute=band.from_minute,
                    to_minute=band.to_minute,
                    price_minor_kwh=band.price * minor,
                    weekdays=band.weekdays,
                )
                for band in self.bands
            ),
            otherwise_minor_kwh=self.price * minor,
        )


def tariff_of(desk: Desk, tub: TubId | str | None = None) -> TariffPlan:
    """Return the tariff of a tub: its own, else the logbook's price of power."""
    with desk.read() as connection:
        return stored_tariff(connection, tub_named(connection, tub).id)


def stored_tariff(connection: Connection, tub: TubId) -> TariffPlan:
    """Return the tariff of a tub inside an open transaction."""
    data = power_plan(connection, tub).get("tariff") or {}
    if data:
        return _from_data(data)
    text = setting(connection, POWER_PRICE)
    return TariffPlan(price=None if text is None else Decimal(text))


def engine_tariff(connection: Connection, tub: TubId) -> Tariff | None:
    """Return the tariff of a tub in minor units of the logbook's currency."""
    code = currency(logbook_currency(connection))
    return stored_tariff(connection, tub).tariff(code.minor_per_unit)


def change_tariff(desk: Desk, tub: TubId | str | None, plan: TariffPlan) -> TubPlace:
    """Keep a tariff; charges that are written down stay as they are.

    Raises
    ------
    InputError, OutOfRangeError
        When a price is missing or cannot be right.
    """
    _check(plan)
    with desk.read() as connection:
        place = tub_named(connection, tub)
        minor = currency(logbook_currency(connection)).minor_per_unit
    plan.tariff(minor)
    with desk.write("change_tariff", place.name, POWER_TOPICS) as unit:
        keep_power_plan(unit, place.id, tariff=_to_data(plan))
    return place


def prices_from_file(
    desk: Desk, tub: TubId | str | None, text: str, *, per: PricePer | None, in_utc: bool
) -> HourlyPrices:
    """Return the hourly prices of a file, to be looked at and then kept with `change_tariff`.

    Raises
    ------
    InputError
        When the file cannot be read or its unit has to be asked.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    return read_prices(text, clock=UTC if in_utc else ZoneInfo(place.zone), per=per)


def _check(plan: TariffPlan) -> None:
    if plan.kind is TariffKind.HOURLY and plan.hourly is None:
        raise InputError("prices", "choose a file with hourly prices first")
    if plan.kind is not TariffKind.HOURLY and plan.price is None:
        raise InputError("price", "write the price of a kilowatt hour")
    if plan.kind is TariffKind.TIME_OF_USE and not plan.bands:
        raise InputError("bands", "add at least one part of the day with a price of its own")
    for price in (plan.price, *(band.price for band in plan.bands)):
        if price is not None and not (price.is_finite() and abs(price) <= _MOST_PRICE):
            raise InputError("price", f"{price} is not a price of a kilowatt hour")


def _hourly(prices: HourlyPrices, minor: int) -> HourlyPrice:
    return HourlyPrice(
        by_start={
            prices.start + n * _HOUR: price * minor
            for n, price in enumerate(prices.prices)
            if price is not None
        }
    )


def _to_data(plan: TariffPlan) -> dict[str, Any]:
    return {
        "kind": plan.kind.value,
        "price": None if plan.price is None else str(plan.price),
        "bands": [
            [band.from_minute, band.to_minute, str(band.price), sorted(band.weekdays)]
            for band in plan.bands
        ],
        "hourly": None if plan.hourly is None else _prices_data(plan.hourly),
        "standing_per_day": str(plan.standing_per_day),
        "tax_percent": str(plan.tax_percent),
        "view": plan.view.value,
    }


def _prices_data(prices: HourlyPrices) -> dict[str, str]:
    cells = ("" if p is None else str(int(p * _STEPS_OF_ONE)) for p in prices.prices)
    return {"start": prices.start.isoformat(), "prices": ",".join(cells)}


def _from_data(data: Mapping[str, Any]) -> TariffPlan:
    hourly = data.get("hourly")
    return TariffPlan(
        kind=TariffKind(data["kind"]),
        price=None if data["price"] is None else Decimal(data["price"]),
        bands=tuple(
            Band(from_minute=a, to_minute=b, price=Decimal(price), weekdays=frozenset(days))
            for a, b, price, days in data["bands"]
        ),
        hourly=None if hourly is None else _prices_from(hourly),
        standing_per_day=Decimal(data["standing_per_day"]),
        tax_percent=Decimal(data["tax_percent"]),
        view=StandingView(data["view"]),
    )


def _prices_from(data: Mapping[str, str]) -> HourlyPrices:
    return HourlyPrices(
        start=datetime.fromisoformat(data["start"]),
        prices=tuple(
            None if not cell else Decimal(cell) / _STEPS_OF_ONE
            for cell in data["prices"].split(",")
        ),
        bad_rows=0,
    )
