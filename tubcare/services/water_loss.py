"""How fast a tub uses up its sanitiser, fitted from its own readings and doses."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from sqlalchemy import select

from tubcare.services.water_samples import samples_in
from tubcare.services.water_shelf import products_in
from tubcare.store.tables import DipRow, DoseRow, FillRow
from tubcare.store.unit import table_of
from tubcare.water import masses
from tubcare.water.judged import READING_OF
from tubcare.water.loss import DueTimes, LossRate, due_at_floor, fit_loss
from tubcare.water.loss_pairs import SanitiserDose, SanitiserReading, intervals
from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.services.water_samples import Ground
    from tubcare.water.products import Product

MEMORY: Final = timedelta(days=120)
_RECENT: Final = timedelta(days=30)
SANITISERS: Final[Mapping[Quantity, float]] = MappingProxyType(
    {
        Quantity.FREE_CHLORINE: masses.CHLORINE,
        Quantity.BROMINE: masses.BROMINE,
        Quantity.PEROXIDE: masses.HYDROGEN_PEROXIDE,
    }
)
# Fresh water below this share hides in the noise of a test. Own choice.
_NOTICED: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """The fitted loss of a sanitiser.

    Attributes
    ----------
    rate
        First-order rate with its range and what it was fitted from.
    level_mg_l, level_at
        What there is, doses after the last reading counted, and when. [mg/L]
    due
        When the level reaches the floor of the tub's range; None where the range has no floor.
    """

    rate: LossRate
    level_mg_l: float
    level_at: datetime
    due: DueTimes | None


def loss_in(
    connection: Connection, ground: Ground, quantity: Quantity, now: datetime
) -> Loss | None:
    """Return the loss of a sanitiser; None for other quantities and where nothing can be fitted.

    A pair of readings between which fresh water came, or that rose by more than is on record,
    tells nothing and is left out.
    """
    mass = SANITISERS.get(quantity)
    if mass is None:
        return None
    readings = _readings(connection, ground, quantity, now)
    if not readings:
        return None
    doses = _doses(connection, ground, quantity, mass, now)
    dips = _dips(connection, ground, now)
    pairs = [
        pair
        for between in _between_changes(connection, ground, readings)
        for pair in intervals(between, doses, dips=dips, water_c=ground.profile.set_point_c)
    ]
    recent = sum(1 for dip in dips if dip >= now - _RECENT) / _RECENT.days
    rate = fit_loss(pairs, water_c=ground.water_c, dips_per_day=recent)
    if rate is None:
        return None
    last = readings[-1]
    since = [dose for dose in doses if dose.at >= last.at]
    level_at = max([last.at, *(dose.at for dose in since)])
    level = last.mg_l + sum(dose.mg_l for dose in since)
    floor = ground.ranges[quantity].limits.low if quantity in ground.ranges else None
    due = None
    if floor is not None and floor > 0.0:
        due = due_at_floor(rate, mg_l=min(level, 500.0), now=level_at, floor_mg_l=floor)
    return Loss(rate=rate, level_mg_l=min(level, 500.0), level_at=level_at, due=due)


def _between_changes(
    connection: Connection, ground: Ground, readings: list[SanitiserReading]
) -> list[list[SanitiserReading]]:
    """Part the readings where fresh water came between them: it lowers the level, not the loss."""
    table = table_of(FillRow)
    changes = sorted(
        connection.execute(
            select(table.c.at).where(
                table.c.tub_id == ground.tub,
                table.c.at >= readings[0].at,
                table.c.litres >= _NOTICED * ground.profile.volume_l,
            )
        ).scalars()
    )
    parts: dict[int, list[SanitiserReading]] = {}
    for reading in readings:
        parts.setdefault(bisect_right(changes, reading.at), []).append(reading)
    return list(parts.values())


def _readings(
    connection: Connection, ground: Ground, quantity: Quantity, now: datetime
) -> list[SanitiserReading]:
    name = READING_OF[quantity]
    samples = samples_in(connection, ground.tub, since=now - MEMORY, until=now)
    found = []
    for sample in reversed(samples):
        if name not in sample.values:
            continue
        warmth = sample.values.get("water_c")
        found.append(
            SanitiserReading(
                at=sample.at,
                mg_l=sample.values[name].value,
                water_c=None if warmth is None else warmth.value,
            )
        )
    return found


def _doses(
    connection: Connection, ground: Ground, quantity: Quantity, mass: float, now: datetime
) -> list[SanitiserDose]:
    """Return the doses as the rise that each makes; products without a label tell nothing."""
    table = table_of(DoseRow)
    labels = {each.supply: each.label for each in products_in(connection)}
    found = []
    for row in connection.execute(
        select(table.c.supply_id, table.c.amount, table.c.at)
        .where(table.c.tub_id == ground.tub, table.c.at >= now - MEMORY, table.c.at <= now)
        .order_by(table.c.at)
    ):
        label = labels.get(row.supply_id)
        rise = (
            0.0 if label is None else _rise(label, row.amount, ground.profile.volume_l, quantity)
        )
        if rise > 0.0:
            found.append(SanitiserDose(at=row.at, mg_l=rise * mass))
    return found


def _rise(label: Product, amount: float, volume_l: float, quantity: Quantity) -> float:
    """Return the rise of a dose [mmol/L]."""
    effect = label.effect
    gain = {
        Quantity.FREE_CHLORINE: effect.chlorine,
        Quantity.BROMINE: effect.bromine,
        Quantity.PEROXIDE: effect.peroxide,
    }[quantity]
    return label.mmol_l(amount, volume_l) * max(0.0, gain)


def _dips(connection: Connection, ground: Ground, now: datetime) -> list[datetime]:
    table = table_of(DipRow)
    rows = connection.execute(
        select(table.c.at, table.c.dips).where(
            table.c.tub_id == ground.tub, table.c.at >= now - MEMORY, table.c.at <= now
        )
    )
    return [row.at for row in rows for _each in range(row.dips)]
