"""What the shelf holds for work that is to be done: enough of each supply, and still good."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import exists, or_, select

from tubcare.ledger.lots import Lot, ShelfNote, keeps_until
from tubcare.store.tables import EntryRow, StockRow, SupplyRow, TaskSupplyRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId, TaskId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from sqlalchemy import Connection


@dataclass(slots=True)
class _Pile:
    name: str
    unit: str
    left_milli: int
    lots: tuple[Lot, ...]
    earlier_milli: int = 0


class OnShelf:
    """Some supplies as they lie on the shelf, while work after work takes from them.

    A supply that was never bought for the shelf nor counted there is not kept there: nothing is
    said of it.

    Parameters
    ----------
    connection
        An open transaction.
    supplies
        Those that the work takes.
    """

    def __init__(self, connection: Connection, supplies: Collection[SupplyId]) -> None:
        supply, stock = table_of(SupplyRow), table_of(StockRow)
        entry, use = table_of(EntryRow), table_of(UseRow)
        bought = exists().where(entry.c.supply_id == supply.c.id, entry.c.kind == "stock")
        counted = exists().where(use.c.supply_id == supply.c.id, use.c.kind == "stock_take")
        rows = connection.execute(
            select(supply.c.id, supply.c.name, supply.c.unit, stock.c.quantity_milli)
            .outerjoin(stock, stock.c.supply_id == supply.c.id)
            .where(supply.c.id.in_(supplies), or_(bought, counted))
        ).all()
        lots = read_lots(connection, supplies)
        self._piles = {
            row.id: _Pile(row.name, row.unit, row.quantity_milli or 0, lots.get(row.id, ()))
            for row in rows
        }

    def take(self, uses: Mapping[SupplyId, int], on: date) -> tuple[ShelfNote, ...]:
        """Take what work of a day uses, and return what the shelf lacks for it."""
        found = []
        for supply, quantity in uses.items():
            pile = self._piles.get(supply)
            if pile is None:
                continue
            good = keeps_until(pile.lots, pile.left_milli)
            note = ShelfNote(
                supply=supply,
                name=pile.name,
                unit=pile.unit,
                left_milli=pile.left_milli,
                takes_milli=quantity,
                earlier_milli=pile.earlier_milli,
                keeps_until=good if good is not None and good < on else None,
            )
            if note.is_short or note.keeps_until is not None:
                found.append(note)
            pile.left_milli -= quantity
            pile.earlier_milli += quantity
        return tuple(found)


def usual_supplies(connection: Connection) -> dict[TaskId, dict[SupplyId, int]]:
    """Return what each task usually uses up, in thousandths of the supply's unit."""
    link = table_of(TaskSupplyRow)
    found: dict[TaskId, dict[SupplyId, int]] = defaultdict(dict)
    for row in connection.execute(select(link.c.task_id, link.c.supply_id, link.c.quantity_milli)):
        found[TaskId(row.task_id)][SupplyId(row.supply_id)] = row.quantity_milli
    return found


def read_lots(
    connection: Connection, supplies: Collection[SupplyId]
) -> dict[SupplyId, tuple[Lot, ...]]:
    """Return the purchases of those supplies of which some do not keep for ever, newest first."""
    entry = table_of(EntryRow)
    bought = entry.c.supply_id.in_(supplies) & (entry.c.kind == "stock")
    dated = select(entry.c.supply_id).where(bought, entry.c.expires_on.is_not(None))
    rows = connection.execute(
        select(entry.c.supply_id, entry.c.quantity_milli, entry.c.expires_on)
        .where(bought, entry.c.supply_id.in_(dated))
        .order_by(entry.c.on_date.desc(), entry.c.id.desc())
    )
    found: dict[SupplyId, list[Lot]] = defaultdict(list)
    for row in rows:
        lot = Lot(quantity_milli=row.quantity_milli, keeps_until=row.expires_on)
        found[SupplyId(row.supply_id)].append(lot)
    return {supply: tuple(lots) for supply, lots in found.items()}
