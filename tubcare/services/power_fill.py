"""Fills the ledger with modelled power for days that no meter reading covers."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.tariff import rounded_minor
from tubcare.services.power_estimates import (
    add_estimate,
    estimates_of,
    runs_of,
    settle_estimates,
)
from tubcare.services.power_gaps import open_days, tubs_to_estimate
from tubcare.services.power_model import DayModel
from tubcare.services.power_site import read_site
from tubcare.services.topics import Topic
from tubcare.store.tables import EntryRow

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

_ONE_DAY = timedelta(days=1)
LEDGER_TOPICS = frozenset({Topic.MONEY})


def fill_estimates(desk: Desk) -> int:
    """Estimate the power of every tub up to yesterday; return how many days were added.

    A tub without weather or price is left alone. Undo does not know these entries: they follow
    from the facts, and a reading takes their place.
    """
    added = 0
    for tub in tubs_to_estimate(desk):
        with desk.write_unremembered(LEDGER_TOPICS) as unit:
            added += fill_tub(unit, desk, tub)
    return added


def fill_tub(unit: Unit, desk: Desk, tub: TubId) -> int:
    """Estimate the uncovered days of one tub inside a running use case; return how many."""
    site = read_site(unit.connection, tub)
    ran, _free = open_days(unit.connection, desk, tub)
    if not ran or site.site.tariff is None or not site.site.weather.known:
        return 0
    settle_estimates(unit, tub)
    _ran, free = open_days(unit.connection, desk, tub)
    model = DayModel(site.site, ran)
    wanted = [day for day in free if model.knows(day) and model.prices(day)]
    if not wanted:
        return 0
    run = model.by_day()
    for first, last in runs_of(wanted):
        place = (first - model.first).days, (last - model.first).days + 1
        _book(
            unit,
            tub,
            (first, last),
            # The ledger knows no gain: hours with a price below zero make days cheap, not more.
            minor=max(0, rounded_minor(float(run.cost_minor[place[0] : place[1]].sum()))),
            energy_wh=round(float(run.kwh[place[0] : place[1]].sum()) * 1000.0),
        )
    return len(wanted)


def _book(unit: Unit, tub: TubId, days: tuple[date, date], *, minor: int, energy_wh: int) -> None:
    """Add an estimate, or lengthen the one that ends the day before in the same month."""
    first, last = days
    for each in estimates_of(unit.connection, tub):
        if each.until + _ONE_DAY == first and each.until.month == first.month:
            unit.change(
                EntryRow,
                each.id,
                on_date=last,
                minor=each.minor + minor,
                quantity_milli=each.energy_wh + energy_wh,
            )
            return
    if minor:
        add_estimate(
            unit,
            tub,
            from_date=first - _ONE_DAY,
            on_date=last,
            minor=minor,
            quantity_milli=energy_wh,
        )
