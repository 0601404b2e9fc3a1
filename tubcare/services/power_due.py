"""Looks whether power has to be estimated, without loading what estimates it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import StoreError
from tubcare.services.weather_store import Purpose
from tubcare.store.tables import WeatherRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tubcare.services.desk import Desk


def fill_if_due(desk: Desk) -> int:
    """Estimate the power of days that no reading covers; return how many days were added.

    A logbook without weather costs one small read. One that cannot be written just now is left as
    it is: the next look fills it.
    """
    table = table_of(WeatherRow)
    modelled = (Purpose.POWER.value, Purpose.TYPICAL.value)
    with desk.read() as connection:
        found = connection.execute(
            select(table.c.id).where(table.c.purpose.in_(modelled)).limit(1)
        ).first()
    if found is None:
        return 0
    # Brings numpy, which takes a fifth of a second.
    from tubcare.services.power_fill import fill_estimates  # noqa: PLC0415

    try:
        return fill_estimates(desk)
    except StoreError:
        return 0
