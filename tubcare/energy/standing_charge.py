"""The standing charge of a supplier, and the tub's part of it."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.energy.tariff import Tariff


class StandingView(StrEnum):
    """Who bears the standing charge."""

    MARGINAL = "marginal"  # it is paid anyway: nothing of it is the tub's
    BY_ENERGY = "by_energy"  # shared by kWh with the rest of the household
    OWN_METER = "own_meter"  # the tub has a meter of its own


def standing_minor(
    tariff: Tariff,
    *,
    days: float,
    view: StandingView,
    tub_kwh: float,
    all_kwh: float | None = None,
) -> Decimal:
    """Return the tub's part of the standing charge, tax included. [minor units].

    Parameters
    ----------
    tariff
        With the charge per day.
    days
        Days covered. [d], 0..40000
    view
        Who bears it.
    tub_kwh, all_kwh
        Energy of the tub and of everything behind the meter. [kWh], at least 0; the second is
        needed only to share by energy and includes the first

    Raises
    ------
    InputError
        If the view shares by energy and the whole is missing or smaller than the part.
    OutOfRangeError
        If the days lie outside their range.

    References
    ----------
    Own definition of three customary bookings.
    """
    require("days", days, 0.0, 40000.0)
    whole = tariff.standing_minor_day * Decimal(repr(float(days))) * tariff.with_tax
    if view is StandingView.MARGINAL:
        return Decimal(0)
    if view is StandingView.OWN_METER:
        return whole
    if all_kwh is None or all_kwh < tub_kwh or all_kwh <= 0.0:
        raise InputError("all_kwh", "needs the energy of the whole meter, the tub's included")
    return whole * Decimal(repr(float(tub_kwh))) / Decimal(repr(float(all_kwh)))
