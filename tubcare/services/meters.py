"""Meters and fresh water, with what they cost."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.errors import InputError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.charges import power_minor
from tubcare.ledger.currency import currency
from tubcare.services import fields
from tubcare.services.fills import Fill, insert_fill
from tubcare.services.household import (
    ensure_person,
    logbook_currency,
)
from tubcare.services.measures import (
    COUNTERS,
    MAX_LITRES,
    MAX_METER,
    MeterValue,
    TubPlace,
    meter_after,
    meter_before,
    tub_named,
)
from tubcare.services.moments import happened_at
from tubcare.services.power_prices import SpanPrices
from tubcare.services.refunds import require_not_refunded
from tubcare.services.topics import Topic
from tubcare.store.tables import EntryRow, MeterReadingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import Row

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import CompletionId, TubId

KWH = "kwh"
METER_TOPICS = frozenset({Topic.MEASURES, Topic.MONEY, Topic.UPKEEP})


def add_meter_reading(
    desk: Desk,
    tub: TubId | str | None,
    value: MeterValue,
    *,
    on: date | None = None,
    note: str = "",
) -> TubPlace:
    """Write down what a meter shows; a power meter charges what was used since the last reading.

    Raises
    ------
    RuleError
        When the value lies below the reading before or above the one after. A meter that was
        exchanged or ran past its last digit is told by `new_meter` and `rolls_over_milli`.
    InputError, OutOfRangeError
        When the counter, value or date cannot be right.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    with desk.write("add_meter_reading", place.name, METER_TOPICS) as unit:
        insert_meter_reading(desk, unit, place, value, on=on, note=note)
    return place


def insert_meter_reading(
    desk: Desk,
    unit: Unit,
    place: TubPlace,
    value: MeterValue,
    *,
    on: date | None = None,
    note: str = "",
) -> None:
    """Write down what a meter shows inside a running use case; raises like the one above."""
    if value.counter not in COUNTERS:
        raise InputError(
            "counter", f"“{value.counter}” is not one of {', '.join(sorted(COUNTERS))}"
        )
    fields.quantity("value", value.value_milli / 1000, 0, MAX_METER / 1000)
    day, at = happened_at(desk, place.zone, on)
    shown = _steps(unit, place.id, value, at)
    _require_between(unit, place.id, shown[0], at)
    _require_below_next(unit, place.id, shown[-1], at)
    person = ensure_person(unit, desk.actor)
    for each in shown:
        unit.add(
            MeterReadingRow,
            tub_id=place.id,
            counter=each.counter,
            value_milli=each.value_milli,
            new_meter=each.new_meter,
            on_date=day,
            at=at,
            person_id=person,
            note=fields.note_text(note),
        )
    if value.counter == KWH:
        charge_power(unit, place.id)


def charge_power(unit: Unit, tub: TubId) -> None:
    """Bring the power charges of a tub in line with its meter readings and the price."""
    readings = table_of(MeterReadingRow)
    entries = table_of(EntryRow)
    rows = unit.connection.execute(
        select(readings)
        .where(readings.c.tub_id == tub, readings.c.counter == KWH)
        .order_by(readings.c.at, readings.c.id)
    ).all()
    known = {
        row.meter_reading_id: row
        for row in unit.connection.execute(
            select(entries).where(entries.c.tub_id == tub, entries.c.meter_reading_id.is_not(None))
        )
    }
    money = currency(logbook_currency(unit.connection))
    prices = SpanPrices(unit.connection, tub)
    for before, row in pairwise(rows):
        used = 0 if row.new_meter else row.value_milli - before.value_milli
        charged = known.pop(row.id, None)
        span = {"quantity_milli": used, "from_date": before.on_date}
        if charged is not None and prices.known and not _differs(charged, span):
            continue
        price = prices.of(before.at, row.at) if used else None
        minor = 0 if price is None else power_minor(used, price_per_kwh=price, currency=money)
        wanted = {"minor": minor, **span}
        if charged is None and minor:
            unit.add(
                EntryRow,
                on_date=row.on_date,
                kind="power",
                category=SpendCategory.POWER.value,
                tub_id=tub,
                meter_reading_id=row.id,
                **wanted,
            )
        elif charged is not None:
            require_not_refunded(unit.connection, charged.id, "this power charge")
            if minor:
                unit.change(EntryRow, charged.id, **wanted)
            else:
                unit.remove(EntryRow, charged.id)
    for orphan in known.values():
        require_not_refunded(unit.connection, orphan.id, "this power charge")
        unit.remove(EntryRow, orphan.id)


def _differs(charged: Row[Any], wanted: dict[str, object]) -> bool:
    """Return whether the readings behind a charge moved; a new price changes no old charge."""
    return any(getattr(charged, name) != wanted[name] for name in ("quantity_milli", "from_date"))


def delete_meter_reading(desk: Desk, reading: int) -> None:
    """Take a meter reading away; the charge of the next one is worked out anew."""
    table, entries = table_of(MeterReadingRow), table_of(EntryRow)
    with desk.write("delete_meter_reading", "meter", METER_TOPICS) as unit:
        image = unit.image(table, reading)
        charged = unit.connection.execute(
            select(entries.c.id).where(entries.c.meter_reading_id == reading)
        ).scalar()
        if charged is not None:
            require_not_refunded(unit.connection, charged, "this reading's charge")
            unit.remove(EntryRow, charged)
        unit.remove(MeterReadingRow, reading)
        if image["counter"] == KWH:
            charge_power(unit, image["tub_id"])


def add_fill(  # noqa: PLR0913  all but the litres are optional
    desk: Desk,
    tub: TubId | str | None,
    litres: float,
    *,
    kind: str = "change",
    on: date | None = None,
    completion: CompletionId | None = None,
    note: str = "",
) -> TubPlace:
    """Write down fresh water and charge it by litres.

    Raises
    ------
    OutOfRangeError, InputError
        When the amount or the date cannot be right.
    """
    fields.quantity("litres", litres, 0.1, MAX_LITRES)
    with desk.read() as connection:
        place = tub_named(connection, tub)
    day, at = happened_at(desk, place.zone, on)
    with desk.write("add_fill", place.name, METER_TOPICS) as unit:
        fill = Fill(litres=litres, kind=kind, on=day, at=at, completion=completion, note=note)
        insert_fill(unit, place.id, fill)
    return place


def price_text(name: str, text: str) -> str:
    """Return a price as it is stored; raise `InputError` when it is not a number of 0 or more."""
    try:
        price = Decimal(text)
    except InvalidOperation as error:
        raise InputError(name, f"“{text}” is not a price; write it like 0.32") from error
    if not price.is_finite() or not 0 <= price <= 10**6:
        raise InputError(name, f"“{text}” is not a price between 0 and 1,000,000")
    return str(price)


def _steps(unit: Unit, tub: TubId, value: MeterValue, at: datetime) -> tuple[MeterValue, ...]:
    """Return what is written down: a meter that ran past its last digit went there, and on from 0.

    Raises
    ------
    InputError
        When the highest value lies below what the meter has shown already.
    """
    full = value.rolls_over_milli
    before = meter_before(unit.connection, tub, value.counter, at)
    if full is None or before is None or value.value_milli >= before[1]:
        return (value,)
    if full < before[1]:
        raise InputError(
            "rolls_over",
            f"the meter has shown {before[1] / 1000:g} already, so it does not start again at"
            f" {full / 1000:g}",
        )
    return (
        MeterValue(counter=value.counter, value_milli=full),
        MeterValue(counter=value.counter, value_milli=0, new_meter=True),
        MeterValue(counter=value.counter, value_milli=value.value_milli),
    )


def _require_between(unit: Unit, tub: TubId, value: MeterValue, at: datetime) -> None:
    before = meter_before(unit.connection, tub, value.counter, at)
    if before is not None and not value.new_meter and value.value_milli < before[1]:
        raise RuleError(
            f"the reading of {before[2]} was {before[1] / 1000:g}, and meters do not run back; "
            "check the value, or say that the meter was exchanged or ran past its last digit"
        )


def _require_below_next(unit: Unit, tub: TubId, value: MeterValue, at: datetime) -> None:
    after = meter_after(unit.connection, tub, value.counter, at)
    if after is not None and not after[2] and value.value_milli > after[1]:
        raise RuleError(
            f"a later reading shows {after[1] / 1000:g}, which is less; check the value"
        )
