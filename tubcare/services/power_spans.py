"""Power over runs of days: the meter where it covers them, the model where it does not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hours import hours_of_days
from tubcare.energy.standing_charge import StandingView, standing_minor
from tubcare.energy.tariff import hourly_minor
from tubcare.energy.uncertainty import Estimate
from tubcare.services.power_days import Mode

_DAYS_A_YEAR = 365.0

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.services.power_days import Stretch
    from tubcare.services.power_model import DayModel, Drawn
    from tubcare.services.power_site import PowerSite


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerSpan:
    """Power over some days.

    Parameters
    ----------
    first, last
        The days, both included.
    running_days
        On how many of them anything ran.
    metered_kwh, metered_days
        What the meter counted and on how many days; None while it covers none.
    modelled
        What the model says of the days whose weather is known, None without weather.
    modelled_days
        How many days those are.
    filled_kwh, filled_minor
        The meter where it covers the day and the model elsewhere, at the tariff; the range is the
        model's. None without weather, unless the meter covers every running day.
    unpriced_days
        Running days without a meter on which an hour has no price: what is filled leaves such
        hours out. With no other days it is None.
    standing_minor
        The tub's part of the standing charge in the view that was chosen, not in the above.
    """

    first: date
    last: date
    running_days: int
    metered_kwh: float | None
    metered_days: int
    modelled: Drawn | None
    modelled_days: int
    filled_kwh: Estimate | None
    filled_minor: Estimate | None
    unpriced_days: int
    standing_minor: float | None


def power_spans(
    periods: Sequence[tuple[date, date]],
    ran: Sequence[Stretch],
    metered: Mapping[date, float],
    model: DayModel | None,
    site: PowerSite,
) -> tuple[PowerSpan, ...]:
    """Return power over each period; the first period holds all others.

    Parameters
    ----------
    periods
        First and last day of each.
    ran
        What ran on which days.
    metered
        Energy of each day that the meter covers. [kWh]
    model
        Of the same days, None without weather.
    site
        For the prices.
    """
    days = [_days(first, last) for first, last in periods]
    running = {
        day for each in ran if each.mode is not Mode.OFF for day in _days(each.first, each.last)
    }
    known = [[d for d in each if model is not None and model.knows(d)] for each in days]
    open_days = [[d for d in each if d in running and d not in metered] for each in days]
    found: tuple[Drawn | None, ...] = (None,) * (2 * len(days))
    if model is not None:
        found = model.sums([*known, *open_days])
    prices = _day_prices(site, model, *periods[0])
    return tuple(
        _span(
            each,
            running & set(each),
            {day: metered[day] for day in each if day in metered},
            found[n] if known[n] else None,
            len(known[n]),
            _Left(open_days[n], set(known[n]), found[len(days) + n]),
            prices,
            site,
        )
        for n, each in enumerate(days)
    )


@dataclass(frozen=True, slots=True)
class _Left:
    """Running days without a meter, those whose weather is known, what the model says of them."""

    days: Sequence[date]
    known: set[date]
    drawn: Drawn | None

    @property
    def complete(self) -> bool:
        return all(day in self.known for day in self.days)


def _span(  # noqa: PLR0913, PLR0917  the parts of one span
    days: Sequence[date],
    running: set[date],
    metered: Mapping[date, float],
    modelled: Drawn | None,
    modelled_days: int,
    left: _Left,
    prices: Mapping[date, float] | None,
    site: PowerSite,
) -> PowerSpan:
    counted = sum(metered.values())
    filled_kwh = filled_minor = None
    unpriced = 0 if prices is None else sum(day not in prices for day in left.days)
    nothing_priced = unpriced == len(left.days) > 0 and not metered
    if left.complete and (running or metered):
        filled_kwh = _plus(counted, left.drawn.kwh if left.drawn and left.days else None)
        if prices is not None and all(day in prices for day in metered) and not nothing_priced:
            paid = sum(kwh * prices[day] for day, kwh in metered.items())
            cost = left.drawn.cost_minor if left.drawn and left.days else None
            filled_minor = _plus(paid, cost)
    standing = None
    if filled_kwh is not None:
        standing = _standing(site, len(running), filled_kwh.value)
    return PowerSpan(
        first=days[0],
        last=days[-1],
        # The meter is read on the day of the closing too, on which nothing ran to its end.
        running_days=len(running | metered.keys()),
        metered_kwh=counted if metered else None,
        metered_days=len(metered),
        modelled=modelled,
        modelled_days=modelled_days,
        filled_kwh=filled_kwh,
        filled_minor=filled_minor,
        unpriced_days=unpriced,
        standing_minor=standing,
    )


def _standing(site: PowerSite, days: int, tub_kwh: float) -> float | None:
    """Return the tub's part of the standing charge over some days. [minor units]."""
    tariff, plan = site.site.tariff, site.plan
    if tariff is None:
        return None
    whole = None
    if plan.household_kwh_a_year is not None:
        whole = max(tub_kwh, float(plan.household_kwh_a_year) * days / _DAYS_A_YEAR)
    if plan.view is StandingView.BY_ENERGY and not whole:
        return 0.0
    part = standing_minor(tariff, days=days, view=plan.view, tub_kwh=tub_kwh, all_kwh=whole)
    return float(part)


def _plus(known: float, rest: Estimate | None) -> Estimate:
    if rest is None:
        return Estimate(value=known, low=known, high=known)
    return Estimate(value=known + rest.value, low=known + rest.low, high=known + rest.high)


def _day_prices(
    site: PowerSite, model: DayModel | None, first: date, last: date
) -> Mapping[date, float] | None:
    """Return what a kilowatt hour cost on each day, weighed by the model's hours where there are.

    A day with an hour without a price is left out. [minor units]
    """
    tariff = site.site.tariff
    if tariff is None:
        return None
    hours = hours_of_days(first, last, site.site.weather.zone)
    price = hourly_minor(tariff, hours, np.ones(hours.count))
    place = hours.local_day - first.toordinal()
    size = (last - first).days + 1
    sums = np.bincount(place, weights=price, minlength=size)
    counts = np.bincount(place, minlength=size)
    mean = sums / np.maximum(counts, 1)
    if model is not None:
        run = model.by_day()
        weighed = np.divide(run.cost_minor, run.kwh, out=mean.copy(), where=run.kwh > 0.0)
        mean = np.where(np.isnan(mean), np.nan, weighed)
    return {
        date.fromordinal(first.toordinal() + n): float(value)
        for n, value in enumerate(mean)
        if not np.isnan(value)
    }


def _days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
