"""What a recorded completion took off the shelf, and keeping it as the person amends it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.services import fields
from tubcare.services.supplies import MAX_QUANTITY_MILLI
from tubcare.store.tables import UseRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Task
    from tubcare.services.upkeep_model import Work
    from tubcare.store.unit import Unit
    from tubcare.values import CompletionId


def recorded_uses(connection: Connection, completion: CompletionId) -> dict[SupplyId, int]:
    """Return what a completion took off the shelf."""
    return _totals(_by_supply(_uses(connection, completion)))


def keep_uses(
    unit: Unit, completion: CompletionId, task: Task, on: date, work: Work
) -> dict[SupplyId, int]:
    """Let the uses of a completion be what the person says, and return them."""
    held = _by_supply(_uses(unit.connection, completion))
    known = _totals(held)
    wanted = known if work.uses is None else dict(work.uses)
    for supply, uses in held.items():
        _keep_held(unit, uses, known[supply], wanted.get(supply), on)
    for supply, quantity in wanted.items():
        fields.quantity("quantity_milli", quantity, 1, MAX_QUANTITY_MILLI)
        if supply not in held:
            unit.add(
                UseRow,
                on_date=on,
                kind="used",
                supply_id=supply,
                quantity_milli=quantity,
                tub_id=task.tub_id,
                task_id=task.id,
                completion_id=completion,
            )
    return wanted


def _keep_held(
    unit: Unit, uses: list[Mapping[str, Any]], known: int, wanted: int | None, on: date
) -> None:
    """Let the uses of one supply come to what is wanted: None takes them away.

    There are several where a dose went in in portions; another total leaves one of them.
    """
    for place, use in enumerate(uses):
        if wanted is None or (wanted != known and place > 0):
            unit.remove(UseRow, use["id"])
        elif wanted != known:
            unit.change(UseRow, use["id"], quantity_milli=wanted, on_date=on)
        else:
            unit.change(UseRow, use["id"], on_date=on)


def _by_supply(uses: list[Mapping[str, Any]]) -> dict[SupplyId, list[Mapping[str, Any]]]:
    found: dict[SupplyId, list[Mapping[str, Any]]] = {}
    for use in uses:
        found.setdefault(SupplyId(use["supply_id"]), []).append(use)
    return found


def _totals(held: Mapping[SupplyId, list[Mapping[str, Any]]]) -> dict[SupplyId, int]:
    return {supply: sum(use["quantity_milli"] for use in uses) for supply, uses in held.items()}


def _uses(connection: Connection, completion: CompletionId) -> list[Mapping[str, Any]]:
    table = table_of(UseRow)
    statement = select(table).where(table.c.completion_id == completion, table.c.kind == "used")
    return [dict(row) for row in connection.execute(statement.order_by(table.c.id)).mappings()]
