"""Prices by the hour, weighed by when the model says that the metered energy was drawn."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hours import hours_of_days
from tubcare.ledger.currency import currency
from tubcare.services.household import logbook_currency
from tubcare.services.power_days import states_of, stretches
from tubcare.services.power_model import DayModel
from tubcare.services.power_site import read_site

if TYPE_CHECKING:
    from datetime import date, datetime

    from numpy.typing import NDArray
    from sqlalchemy import Connection

    from tubcare.energy.hours import HourRange
    from tubcare.values import TubId

    Hours = NDArray[np.float64]

_HOUR_S = 3600.0
_DIGITS = 8


class WeighedPrices:
    """Prices of a tub's spans between readings; the site and its states are read once."""

    def __init__(self, connection: Connection, tub: TubId) -> None:
        self._site = read_site(connection, tub).site
        self._states = states_of(connection, tub)
        self._minor = currency(logbook_currency(connection)).minor_per_unit

    def of(self, began: datetime, ended: datetime) -> Decimal | None:
        """Return the price of a kilowatt hour between two instants, tax included.

        Each hour counts by what the model says it drew. Where the model says nothing, as without
        weather, all hours count alike. Hours without a price are left out; None without any.
        """
        tariff, zone = self._site.tariff, self._site.weather.zone
        if tariff is None:
            return None
        first, last = (at.astimezone(zone).date() for at in (began, ended))
        hours = hours_of_days(first - timedelta(days=1), last, zone)
        prices = tariff.energy.minor_per_kwh(hours)
        held = np.where(np.isnan(prices), 0.0, _held(hours, began, ended))
        if not held.any():
            return None
        weights = held * self._drawn(hours, first, last)
        if not weights.any():
            weights = held
        mean = float((np.nan_to_num(prices) * weights).sum() / weights.sum())
        exact = Decimal(repr(round(mean, _DIGITS))) * tariff.with_tax
        return max(Decimal(0), exact / self._minor)

    def _drawn(self, hours: HourRange, first: date, last: date) -> Hours:
        """Return what the model says was drawn in each hour, nothing where it knows no weather."""
        weather = self._site.weather
        if not weather.known:
            return np.zeros(hours.count)
        before = hours.first_day
        model = DayModel(self._site, stretches(self._states, before, last))
        count = (last - first).days + 1
        if not all(model.knows(first + timedelta(days=n)) for n in range(count)):
            return np.zeros(hours.count)
        return model.by_hour().kwh


def _held(hours: HourRange, began: datetime, ended: datetime) -> Hours:
    """Return the share of each hour that lies between two instants. [-]; float64 (hours,)."""
    starts = _HOUR_S * np.arange(hours.count)
    begin_s, end_s = ((at - hours.start).total_seconds() for at in (began, ended))
    inside: Hours = np.minimum(starts + _HOUR_S, end_s) - np.maximum(starts, begin_s)
    return np.maximum(inside, 0.0) / _HOUR_S
