"""What the work still to come will cost, if all of it is done on its due date as usual."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.forecast import ExpectedCost
from tubcare.ledger.money import divide_half_even
from tubcare.services.on_shelf import usual_supplies
from tubcare.services.outlook import rolled_forward
from tubcare.services.spending import spend_category
from tubcare.store.tables import StockRow, SupplyRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedWork:
    """What coming work will likely cost.

    `money` is what the tasks usually cost besides stock; both views have it. `taken` is the stock
    that they take, at its average price, for the *used* view; `bought` the part of it that does
    not lie on the shelf yet, for the *paid* view.
    """

    money: tuple[ExpectedCost, ...] = ()
    taken: tuple[ExpectedCost, ...] = ()
    bought: tuple[ExpectedCost, ...] = ()


@dataclass(slots=True)
class _Shelf:
    """A supply as it will lie on the shelf while the plan is rolled forward."""

    category: SpendCategory
    left_milli: int
    average_minor: int
    average_milli: int

    def value_of(self, quantity_milli: int) -> int:
        """Return what a quantity costs at the average price; 0 while no price is known."""
        if not self.average_milli:
            return 0
        return divide_half_even(self.average_minor * quantity_milli, self.average_milli)

    def take(self, quantity_milli: int) -> int:
        """Take a quantity off the shelf and return the part that has to be bought for it."""
        short = max(0, quantity_milli - max(0, self.left_milli))
        self.left_milli = max(0, self.left_milli - quantity_milli)
        return short


def expected_work(
    desk: Desk, connection: Connection, plan: Plan, today: date, last: date
) -> ExpectedWork:
    """Return what everything in a plan that is still to come up to `last` will cost."""
    categories = {task.id: spend_category(task.category) for task in plan.tasks}
    usual, shelves = usual_supplies(connection), _shelves(connection)
    money: list[ExpectedCost] = []
    taken: list[ExpectedCost] = []
    bought: list[ExpectedCost] = []
    for each in rolled_forward(desk, plan, last).occurrences:
        if each.due_on > last:
            continue
        task, on = each.task_id, max(each.due_on, today)
        minor = plan.usual_minor.get(task)
        if minor:
            money.append(ExpectedCost(on, categories[task], minor, task))
        for supply, quantity in usual.get(task, {}).items():
            shelf = shelves.get(supply)
            if shelf is None:
                continue
            taken.append(ExpectedCost(on, shelf.category, shelf.value_of(quantity), task))
            short = shelf.value_of(shelf.take(quantity))
            if short:
                bought.append(ExpectedCost(on, shelf.category, short, task))
    return ExpectedWork(money=tuple(money), taken=tuple(taken), bought=tuple(bought))


def _shelves(connection: Connection) -> dict[int, _Shelf]:
    stock, supply = table_of(StockRow), table_of(SupplyRow)
    rows = connection.execute(
        select(supply.c.id, supply.c.category, stock.c.quantity_milli, stock.c.state).join(
            stock, stock.c.supply_id == supply.c.id
        )
    )
    return {
        row.id: _Shelf(
            SpendCategory(row.category),
            row.quantity_milli,
            row.state["average_minor"],
            row.state["average_milli"],
        )
        for row in rows
    }
