"""Taking a recorded fact away: alone or with what belongs to it, never from under a later one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import DependentFactError
from tubcare.services.dependents import KEYED, describe, has_key, keys_of, require_unreferenced
from tubcare.services.topics import Topic
from tubcare.store.tables import (
    CompletionRow,
    DipRow,
    DoseRow,
    EntryRow,
    FillRow,
    PersonRow,
    ReadingRow,
    StateChangeRow,
    SupplyRow,
    TubRow,
    UseRow,
    WaterStepRow,
)
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement

    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.store.tables import Base
    from tubcare.store.unit import Unit
    from tubcare.values import PersonId, SupplyId, TubId

MEASURE_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP})


def delete_dip(desk: Desk, dip: int) -> None:
    """Take a dip away; raise `NotFoundError` when it is gone."""
    _delete(desk, "delete_dip", DipRow, dip, MEASURE_TOPICS)


def delete_reading(desk: Desk, reading: int) -> None:
    """Take one measured value away; raise `NotFoundError` when it is gone."""
    _delete(desk, "delete_reading", ReadingRow, reading, MEASURE_TOPICS)


def delete_fill(desk: Desk, fill: int) -> None:
    """Take fresh water away together with its charge, and with the step of the plan it was.

    Raises
    ------
    DependentFactError
        When a refund names the charge.
    """
    table = table_of(FillRow)
    topics = MEASURE_TOPICS | {Topic.MONEY}
    with desk.write("delete_fill", _tub_of(desk, FillRow, fill), topics) as unit:
        unit.image(table, fill)
        take_fills(unit, table.c.id == fill, "this filling")


def delete_dose(desk: Desk, dose: int) -> None:
    """Take a dose away with what it took off the shelf, and with the step of the plan it was.

    What follows on the shelf is valued anew; raise `NotFoundError` when it is gone.
    """
    table = table_of(DoseRow)
    topics = MEASURE_TOPICS | {Topic.MONEY, Topic.STOCK}
    with desk.write("delete_dose", _tub_of(desk, DoseRow, dose), topics) as unit:
        unit.image(table, dose)
        take_doses(unit, table.c.id == dose, "this dose")


def delete_use(desk: Desk, use: int) -> None:
    """Take away stock that left the shelf, or a stock-take; what follows is valued anew."""
    _delete(desk, "delete_use", UseRow, use, frozenset({Topic.STOCK, Topic.MONEY}))


def delete_state_change(desk: Desk, change: int) -> None:
    """Take away that a tub entered a state, such as an opening.

    Raises
    ------
    DependentFactError
        When work was recorded for what that opening made due.
    """
    topics = frozenset({Topic.TUBS, Topic.UPKEEP})
    table = table_of(StateChangeRow)
    with desk.write("delete_state_change", _tub_of(desk, StateChangeRow, change), topics) as unit:
        key, done = keys_of(table.name, change), table_of(CompletionRow)
        closed = unit.connection.execute(
            select(done.c.id).where(has_key(done, key or "")).order_by(done.c.id.desc())
        ).scalar()
        if closed is not None:
            named = describe(unit.connection, done, closed)
            raise DependentFactError("this change of state", named)
        take_opened(unit, StateChangeRow, change)
        unit.remove(StateChangeRow, change)


def delete_supply(desk: Desk, supply: SupplyId) -> None:
    """Take a supply away; raise `DependentFactError` while a purchase, use or task names it."""
    topics = frozenset({Topic.STOCK, Topic.MONEY})
    _delete(desk, "delete_supply", SupplyRow, supply, topics)


def delete_person(desk: Desk, person: PersonId) -> None:
    """Take a person away; raise `DependentFactError` while a fact names them."""
    _delete(desk, "delete_person", PersonRow, person, frozenset({Topic.PEOPLE}))


def delete_tub(desk: Desk, tub: TubId) -> None:
    """Take a tub away; raise `DependentFactError` while anything names it."""
    _delete(desk, "delete_tub", TubRow, tub, frozenset({Topic.TUBS}))


def _delete(desk: Desk, label: str, row: type[Base], row_id: int, topics: Topics) -> None:
    table = table_of(row)
    with desk.write(label, _subject(desk, row, row_id), topics) as unit:
        unit.image(table, row_id)
        named = describe(unit.connection, table, row_id)
        require_unreferenced(unit.connection, table, row_id, named)
        unit.remove(row, row_id)


def take(unit: Unit, row: type[Base], which: ColumnElement[bool], label: str) -> None:
    """Remove what belongs to a fact that goes; refused where a later fact stands on it."""
    table = table_of(row)
    for row_id in _ids(unit, row, which):
        require_unreferenced(unit.connection, table, row_id, label)
        unit.remove(row, row_id)


def take_doses(unit: Unit, which: ColumnElement[bool], label: str) -> None:
    """Remove doses, each with what it took off the shelf and with the step that it was."""
    use, step = table_of(UseRow), table_of(WaterStepRow)
    for dose in _ids(unit, DoseRow, which):
        take(unit, UseRow, use.c.dose_id == dose, label)
        take(unit, WaterStepRow, step.c.dose_id == dose, label)
        unit.remove(DoseRow, dose)


def take_fills(unit: Unit, which: ColumnElement[bool], label: str) -> None:
    """Remove fresh water, each with its charge and with the step of the plan that it was."""
    entry, step = table_of(EntryRow), table_of(WaterStepRow)
    for fill in _ids(unit, FillRow, which):
        take(unit, EntryRow, entry.c.fill_id == fill, label)
        take(unit, WaterStepRow, step.c.fill_id == fill, label)
        unit.remove(FillRow, fill)


def _ids(unit: Unit, row: type[Base], which: ColumnElement[bool]) -> list[int]:
    return list(unit.connection.execute(select(table_of(row).c.id).where(which)).scalars())


def take_opened(unit: Unit, row: type[Base], row_id: int) -> None:
    """Remove what was put off and ticked of the occurrence that a fact opened."""
    key = keys_of(row.__tablename__, row_id)
    for keyed in KEYED:
        if keyed is not CompletionRow and key is not None:
            take(unit, keyed, has_key(table_of(keyed), key), "this fact")


def _subject(desk: Desk, row: type[Base], row_id: int) -> str:
    if row in {DipRow, ReadingRow}:
        return _tub_of(desk, row, row_id)
    with desk.read() as connection:
        return describe(connection, table_of(row), row_id)


def _tub_of(desk: Desk, row: type[Base], row_id: int) -> str:
    table, tub = table_of(row), table_of(TubRow)
    with desk.read() as connection:
        found = connection.execute(
            select(tub.c.name).join(table, table.c.tub_id == tub.c.id).where(table.c.id == row_id)
        ).scalar()
    return str(found or "")
