"""Keeps what each month cost in line with the facts."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from sqlalchemy import bindparam, delete, select

from tubcare.ledger.contributions import (
    BuildCost,
    BuildRefund,
    DirectSpend,
    MoneyFact,
    PowerCharge,
    StockOutflow,
    StockPurchase,
    StockRefund,
    monthly_contributions,
)
from tubcare.ledger.write_off import WriteOff
from tubcare.store.statements import Upsert
from tubcare.store.tables import EntryRow, MonthTotalRow, SupplyRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import Connection

    from tubcare.services.stock_cache import Recosted, RowKey
    from tubcare.store.journal import Change, Image
    from tubcare.store.unit import Unit

_USES = UseRow.__tablename__
_ENTRIES = EntryRow.__tablename__
_MONEY = frozenset({_USES, _ENTRIES})
TotalKey = tuple[str, int, str, int, int]
Totals = dict[TotalKey, list[int]]

# Statements are built once: building one costs several times its run.
_TOTAL, _SUPPLY = table_of(MonthTotalRow), table_of(SupplyRow)
_ADD = Upsert(_TOTAL, summed=("minor", "entries"))
_DROP_EMPTY = delete(_TOTAL).where(_TOTAL.c.entries == 0, _TOTAL.c.minor == 0)
_CATEGORY = select(_SUPPLY.c.category).where(_SUPPLY.c.id == bindparam("of"))


def refresh_totals(unit: Unit, recosted: Recosted) -> None:
    """Bring the month totals in line with what the unit changed."""
    connection = unit.connection
    if _is_structural(unit.changes):
        rebuild_totals(connection)
        return
    rows = _merged(unit.changes)
    if not rows and not recosted:
        return
    totals: Totals = defaultdict(lambda: [0, 0])
    for key, (before, after) in rows.items():
        if before is not None:
            _book(connection, totals, key[0], before, -1)
        if after is not None:
            cost = recosted[key][1] if key in recosted else after["cost_minor"]
            _book(connection, totals, key[0], after | {"cost_minor": cost}, 1)
    for key, (was, now) in recosted.items():
        if key in rows:
            continue
        table = table_of(UseRow if key[0] == _USES else EntryRow)
        image = unit.image(table, key[1])
        _book(connection, totals, key[0], image | {"cost_minor": was}, -1)
        _book(connection, totals, key[0], image | {"cost_minor": now}, 1)
    _add(connection, totals)


def rebuild_totals(connection: Connection) -> None:
    """Work the month totals out from every fact."""
    connection.execute(delete(_TOTAL))
    _add(connection, totals_from_facts(connection))


def totals_from_facts(connection: Connection) -> Totals:
    """Return the month totals as the facts alone say."""
    totals: Totals = defaultdict(lambda: [0, 0])
    for row_type in (EntryRow, UseRow):
        table = table_of(row_type)
        for row in connection.execute(select(table)).mappings().all():
            _book(connection, totals, table.name, dict(row), 1)
    return {key: value for key, value in totals.items() if value[1]}


def fact_of(  # noqa: PLR0911  one return for each kind
    connection: Connection, table: str, image: Image
) -> MoneyFact:
    """Return what an entry or a use means for the two views of money."""
    if table == _USES:
        return StockOutflow(on=image["on_date"], minor=image["cost_minor"])
    on, minor = image["on_date"], image["minor"]
    if image["refund_of"] is not None:
        return _refund(connection, image)
    match image["kind"]:
        case "stock":
            return StockPurchase(on=on, minor=minor)
        case "power":
            return PowerCharge(from_on=image["from_date"] or on, on=on, minor=minor)
        case "build":
            return BuildCost(write_off=_write_off(image))
        case _:
            return DirectSpend(on=on, minor=minor)


def category_of(connection: Connection, table: str, image: Image) -> str:
    """Return the kind of spending: an entry's own, or that of the supply that was used."""
    if table == _ENTRIES:
        return str(image["category"])
    return str(connection.execute(_CATEGORY, {"of": image["supply_id"]}).scalar_one())


def _refund(connection: Connection, image: Image) -> MoneyFact:
    entry = table_of(EntryRow)
    original = (
        connection.execute(select(entry).where(entry.c.id == image["refund_of"])).mappings().one()
    )
    on, minor = image["on_date"], image["minor"]
    if original["supply_id"] is not None:
        return StockRefund(on=on, minor=-minor, used_minor=image["cost_minor"])
    if original["kind"] == "build":
        return BuildRefund(on=on, minor=-minor, build=_write_off(dict(original)))
    return DirectSpend(on=on, minor=minor)


def _write_off(image: Image) -> WriteOff:
    return WriteOff(
        on=image["on_date"],
        minor=image["minor"],
        months=image["months"],
        salvage_minor=image["salvage_minor"] or 0,
        ended_on=image["ended_on"],
    )


def _book(connection: Connection, totals: Totals, table: str, image: Image, sign: int) -> None:
    category = category_of(connection, table, image)
    task, tub = image["task_id"] or 0, image["tub_id"] or 0
    for amount in monthly_contributions(fact_of(connection, table, image)):
        month = amount.month.year * 12 + amount.month.month - 1
        total = totals[(amount.view.value, month, category, task, tub)]
        total[0] += sign * amount.minor
        total[1] += sign


def _add(connection: Connection, totals: Totals) -> None:
    rows = [
        {
            "view": view,
            "month": month,
            "category": category,
            "task_id": task,
            "tub_id": tub,
            "minor": minor,
            "entries": entries,
        }
        for (view, month, category, task, tub), (minor, entries) in totals.items()
        if minor or entries
    ]
    if not rows:
        return
    connection.execute(_ADD.on(connection), rows)
    if any(entries < 0 for _minor, entries in totals.values()):
        connection.execute(_DROP_EMPTY)


def _merged(changes: Iterable[Change]) -> dict[RowKey, tuple[Image | None, Image | None]]:
    """Return each money row as it was before the unit and as it is after it."""
    rows: dict[RowKey, tuple[Image | None, Image | None]] = {}
    for change in changes:
        if change.table not in _MONEY:
            continue
        key = (change.table, change.row_id)
        first = rows[key][0] if key in rows else change.before
        rows[key] = (first, change.after)
    return rows


def _is_structural(changes: Iterable[Change]) -> bool:
    """Return whether a change moves amounts of rows that it does not touch itself."""
    for change in changes:
        if change.before is None or change.after is None:
            continue
        if change.table == SupplyRow.__tablename__:
            if change.before["category"] != change.after["category"]:
                return True
        elif change.table == _ENTRIES and change.before["kind"] == "build":
            return True
    return False
