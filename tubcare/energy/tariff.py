"""What the supplier asks, and what each hour of a run costs.

Prices are Decimal minor units (cents, pence, øre) per kWh; sums are rounded once, at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.energy_price import EnergyPrice
    from tubcare.energy.hours import HourRange

    Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff:
    """What the supplier asks.

    Parameters
    ----------
    energy
        Price of each hour.
    standing_minor_day
        Standing charge. [minor units per day], 0..100000
    tax_percent
        Added to both. [%], 0..100
    """

    energy: EnergyPrice
    standing_minor_day: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        require("standing_minor_day", float(self.standing_minor_day), 0.0, 100000.0)
        require("tax_percent", float(self.tax_percent), 0.0, 100.0)

    @property
    def with_tax(self) -> Decimal:
        """Factor by which the tax raises a price. [-]."""
        return 1 + self.tax_percent / 100


def rounded_minor(amount: float | Decimal) -> int:
    """Return an amount in whole [minor units], half to even, free of binary residue.

    Raises nothing.

    Parameters
    ----------
    amount
        To six places. [minor units], any

    References
    ----------
    Half to even: ISO 80000-1:2009, annex B, rule A (from memory).
    """
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(round(amount, 6)))
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def hourly_minor(tariff: Tariff, hours: HourRange, kwh: Hours) -> Hours:
    """Return the cost of each hour, tax included, NaN without a price. [minor units].

    Parameters
    ----------
    tariff
        Prices.
    hours
        Which hours.
    kwh
        Drawn in each of them; float64 (hours,). [kWh], any that is finite

    Raises
    ------
    InputError
        If there is not one value for each hour, or one is missing.

    References
    ----------
    Plain arithmetic: price times energy times tax.
    """
    if kwh.shape != (hours.count,):
        raise InputError("kwh", "needs one value for each hour")
    if not np.isfinite(kwh).all():
        raise InputError("kwh", "an hour without a figure has no cost; leave it out first")
    return tariff.energy.minor_per_kwh(hours) * kwh * float(tariff.with_tax)
