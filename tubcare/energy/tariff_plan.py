"""What a person says about prices, in units of their currency."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.energy_price import EnergyPrice, FlatPrice, PriceBand, TimeOfUse
from tubcare.energy.hourly_price import HourlyPrice
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff import Tariff
from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.energy.price_text import HourlyPrices

_MOST_PRICE = Decimal(1000)
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
    household_kwh_a_year
        Energy of everything behind the meter, the tub's included, to share the charge by. [kWh]
    """

    kind: TariffKind = TariffKind.FLAT
    price: Decimal | None = None
    bands: tuple[Band, ...] = ()
    hourly: HourlyPrices | None = None
    standing_per_day: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)
    view: StandingView = StandingView.MARGINAL
    household_kwh_a_year: Decimal | None = None

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

    def of_other_kinds(self) -> tuple[TariffPlan, ...]:
        """Return this tariff with each other kind of price for which enough is known."""
        known = {
            TariffKind.FLAT: self.price is not None,
            TariffKind.TIME_OF_USE: self.price is not None and bool(self.bands),
            TariffKind.HOURLY: self.hourly is not None,
        }
        return tuple(
            replace(self, kind=kind)
            for kind in TariffKind
            if known[kind] and kind is not self.kind
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


def check_plan(plan: TariffPlan) -> None:
    """Raise `InputError` when a price is missing or cannot be right.

    Parameters
    ----------
    plan
        Prices in currency for a [kWh], -1000..1000.

    Raises
    ------
    InputError
        When a price is missing or cannot be right.

    References
    ----------
    Own limits.
    """
    if plan.kind is TariffKind.HOURLY and plan.hourly is None:
        raise InputError("prices", "choose a file with hourly prices first")
    if plan.kind is not TariffKind.HOURLY and plan.price is None:
        raise InputError("price", "write the price of a kilowatt hour")
    if plan.kind is TariffKind.TIME_OF_USE and not plan.bands:
        raise InputError("bands", "add at least one part of the day with a price of its own")
    if plan.view is StandingView.BY_ENERGY and not plan.household_kwh_a_year:
        raise InputError(
            "household_kwh_a_year", "write what the whole household draws in a year to share by"
        )
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
