"""Keeps what lies on the shelf, and what each use of it cost, in line with the facts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, delete, select, update

from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import (
    Expired,
    Purchase,
    PurchaseRefund,
    ShortPart,
    StockCost,
    StockFact,
    StockFlag,
    StockKind,
    StockState,
    StockTake,
    Use,
    order_of,
)
from tubcare.store.statements import Upsert
from tubcare.store.tables import EntryRow, StockRow, SupplyRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import Connection

    from tubcare.ledger.stock_facts import StockReplay
    from tubcare.store.journal import Change, Image
    from tubcare.store.unit import Unit

_USES = UseRow.__tablename__
_ENTRIES = EntryRow.__tablename__


RowKey = tuple[str, int]
Recosted = dict[RowKey, tuple[int, int]]
#: Cost in minor units and quantity in thousandths, as they stand in a row.
Valued = tuple[int, int]

# Statements are built once: building one costs several times its run.
_STOCK = table_of(StockRow)
_READ_STATE = select(_STOCK.c.state).where(_STOCK.c.supply_id == bindparam("of"))
_WRITE_STATE = Upsert(_STOCK, replaced=("quantity_milli", "value_minor", "state"))
_VALUE = {
    table.name: update(table).where(table.c.id == bindparam("fact"))
    for table in (table_of(UseRow), table_of(EntryRow))
}


def refresh_stock(unit: Unit) -> Recosted:
    """Value anew every supply that the unit touched.

    Returns the cost before and after of each use or refund that was valued, by table and id.
    """
    changed: Recosted = {}
    by_supply: dict[int, list[Change]] = {}
    for change in unit.changes:
        for supply in _supplies(change):
            by_supply.setdefault(supply, []).append(change)
    for supply, changes in by_supply.items():
        changed |= _refresh(unit.connection, supply, changes)
    return changed


def rebuild_stock(connection: Connection, supply: int) -> Recosted:
    """Value one supply from its first fact on; return the costs that differed."""
    table = table_of(SupplyRow)
    if connection.execute(select(table.c.id).where(table.c.id == supply)).first() is None:
        return {}
    return _keep(connection, supply, replay(read_facts(connection, supply)), {})


def read_facts(connection: Connection, supply: int) -> list[StockFact]:
    """Return every fact about one supply."""
    entry, use = table_of(EntryRow), table_of(UseRow)
    bought = connection.execute(select(entry).where(entry.c.supply_id == supply)).mappings()
    left = connection.execute(select(use).where(use.c.supply_id == supply)).mappings()
    return [_from_entry(dict(row)) for row in bought] + [_from_use(dict(row)) for row in left]


def _refresh(connection: Connection, supply: int, changes: list[Change]) -> Recosted:
    state = _read_state(connection, supply)
    added = [_fact(c.table, c.after) for c in changes if c.before is None and c.after is not None]
    only_added = all(c.before is None for c in changes)
    newest = state is not None and all(
        state.last is None or order_of(fact) > state.last for fact in added
    )
    if state is not None and only_added and newest:
        known = {(c.table, c.row_id): _valued(c.after) for c in changes if c.after is not None}
        return _keep(connection, supply, replay(added, state), known)
    return rebuild_stock(connection, supply)


def _keep(
    connection: Connection, supply: int, result: StockReplay, known: dict[RowKey, Valued]
) -> Recosted:
    """Write what differs from what is `known`; rows that are not known are read."""
    changed: Recosted = {}
    keys = {_key(cost): cost for cost in result.costs}
    known = known | _read_valued(connection, keys.keys() - known.keys())
    for key, cost in keys.items():
        was, quantity = known[key]
        values = {"cost_minor": cost.minor}
        if cost.kind is StockKind.STOCK_TAKE:
            values["quantity_milli"] = cost.quantity_milli
        elif was == cost.minor:
            continue
        if was == cost.minor and quantity == cost.quantity_milli:
            continue
        connection.execute(_VALUE[key[0]], values | {"fact": cost.id})
        changed[key] = (was, cost.minor)
    _write_state(connection, supply, result.state)
    return changed


def _key(cost: StockCost) -> RowKey:
    return (_ENTRIES if cost.kind is StockKind.REFUND else _USES, cost.id)


def _valued(image: Image) -> Valued:
    return image["cost_minor"], image["quantity_milli"] or 0


def _read_valued(connection: Connection, keys: Collection[RowKey]) -> dict[RowKey, Valued]:
    known: dict[RowKey, Valued] = {}
    for row_type in (UseRow, EntryRow):
        table = table_of(row_type)
        ids = [row_id for name, row_id in keys if name == table.name]
        if not ids:
            continue
        for row in connection.execute(
            select(table.c.id, table.c.cost_minor, table.c.quantity_milli).where(
                table.c.id.in_(ids)
            )
        ):
            known[table.name, row.id] = (row.cost_minor, row.quantity_milli or 0)
    return known


def _supplies(change: Change) -> set[int]:
    if change.table not in {_USES, _ENTRIES}:
        return set()
    images = (image for image in (change.before, change.after) if image is not None)
    return {image["supply_id"] for image in images if image["supply_id"] is not None}


def _fact(table: str, image: Image | None) -> StockFact:
    if image is None:
        raise ValueError("a fact that was added has an image")
    return _from_use(image) if table == _USES else _from_entry(image)


def _from_entry(image: Image) -> StockFact:
    if image["refund_of"] is not None:
        return PurchaseRefund(
            id=image["id"],
            on=image["on_date"],
            quantity_milli=image["quantity_milli"] or 0,
            minor=-image["minor"],
        )
    return Purchase(
        id=image["id"],
        on=image["on_date"],
        quantity_milli=image["quantity_milli"],
        minor=image["minor"],
    )


def _from_use(image: Image) -> StockFact:
    if image["kind"] == "stock_take":
        return StockTake(id=image["id"], on=image["on_date"], counted_milli=image["counted_milli"])
    kind = Expired if image["kind"] == "expired" else Use
    return kind(id=image["id"], on=image["on_date"], quantity_milli=image["quantity_milli"])


def _read_state(connection: Connection, supply: int) -> StockState | None:
    data = connection.execute(_READ_STATE, {"of": supply}).scalar()
    return None if data is None else _state_from_data(data)


def _write_state(connection: Connection, supply: int, state: StockState) -> None:
    if state.last is None:
        stock = table_of(StockRow)
        connection.execute(delete(stock).where(stock.c.supply_id == supply))
        return
    row = {
        "supply_id": supply,
        "quantity_milli": state.quantity_milli,
        "value_minor": state.value_minor,
        "state": _state_to_data(state),
    }
    connection.execute(_WRITE_STATE.on(connection), row)


def _state_to_data(state: StockState) -> dict[str, Any]:
    return {
        "quantity_milli": state.quantity_milli,
        "value_minor": state.value_minor,
        "average_minor": state.average_minor,
        "average_milli": state.average_milli,
        "last": None if state.last is None else [state.last[0].isoformat(), *state.last[1:]],
        "short": [
            [
                part.short_milli,
                part.valued_minor,
                part.cost.kind.value,
                part.cost.id,
                part.cost.on.isoformat(),
                part.cost.quantity_milli,
                part.cost.minor,
                part.cost.settled_minor,
                sorted(flag.value for flag in part.cost.flags),
            ]
            for part in state.short
        ],
    }


def _state_from_data(data: dict[str, Any]) -> StockState:
    state = StockState(
        quantity_milli=data["quantity_milli"],
        value_minor=data["value_minor"],
        average_minor=data["average_minor"],
        average_milli=data["average_milli"],
        short=tuple(
            ShortPart(
                short_milli=short,
                valued_minor=valued,
                cost=StockCost(
                    kind=StockKind(kind),
                    id=fact_id,
                    on=date.fromisoformat(on),
                    quantity_milli=quantity,
                    minor=minor,
                    settled_minor=settled,
                    flags=frozenset(StockFlag(flag) for flag in flags),
                ),
            )
            for short, valued, kind, fact_id, on, quantity, minor, settled, flags in data["short"]
        ),
    )
    last = data["last"]
    if last is None:
        return state
    return replace(state, last=(date.fromisoformat(last[0]), last[1], last[2]))
