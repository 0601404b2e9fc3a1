"""What lies on the shelf, and how long it lasts when the plan is kept."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.ledger.lots import keeps_until
from tubcare.services.on_shelf import read_lots, usual_supplies
from tubcare.services.outlook import ahead
from tubcare.services.supplies import Supply, supplies

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.ledger.lots import Lot
    from tubcare.services.desk import Desk
    from tubcare.services.outlook import Ahead
    from tubcare.values import SupplyId, TaskId

HORIZON_DAYS = 366


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """One supply with what the plan will take of it. Quantities in thousandths of the unit.

    `short_on` is the first day on which a task needs more than is left, `short_for` that task;
    None when the stock lasts to the end of the outlook. `lasts_to` is the last day on which the
    stock is known to suffice. `keeps_until` is the last day on which all that lies there is good,
    None where nothing says.
    """

    supply: Supply
    needed_milli: int
    short_on: date | None
    short_for: str
    lasts_to: date
    keeps_until: date | None = None

    @property
    def missing_milli(self) -> int:
        """What has to be bought for the plan of the whole outlook."""
        return max(0, self.needed_milli - self.supply.quantity_milli)


def shelf(desk: Desk, *, days: int = HORIZON_DAYS) -> tuple[ShelfLine, ...]:
    """Return every supply in use, what runs out first before all else.

    All work is assumed to be done on its due date with its usual supplies.
    """
    known = [supply for supply in supplies(desk) if supply.active]
    until = desk.home_today() + timedelta(days=days)
    with desk.read() as connection:
        uses = usual_supplies(connection)
        lots = read_lots(connection, [supply.id for supply in known])
    coming = ahead(desk, until) if uses else None
    needs = _needs(desk, coming, uses) if coming is not None else {}
    lines = [
        _line(supply, needs.get(supply.id, []), lots.get(supply.id, ()), until) for supply in known
    ]
    return tuple(sorted(lines, key=_pressing))


def _pressing(line: ShelfLine) -> tuple[date, bool, str]:
    return line.short_on or date.max, not line.supply.is_low, line.supply.name.casefold()


def _needs(
    desk: Desk, coming: Ahead, uses: Mapping[TaskId, Mapping[SupplyId, int]]
) -> dict[SupplyId, list[tuple[date, int, str]]]:
    """Return for each supply when how much is needed, and for which task."""
    tasks = {task.id: task for task in coming.plan.tasks}
    found: dict[SupplyId, list[tuple[date, int, str]]] = defaultdict(list)
    for each in coming.occurrences:
        task = tasks[each.task_id]
        today = desk.today(coming.plan.tubs[task.tub_id].zone)
        for supply, quantity in uses.get(task.id, {}).items():
            found[supply].append((max(each.due_on, today), quantity, task.title))
    for needs in found.values():
        needs.sort()
    return found


def _line(
    supply: Supply, needs: list[tuple[date, int, str]], lots: tuple[Lot, ...], until: date
) -> ShelfLine:
    left = supply.quantity_milli
    short_on: date | None = None
    short_for, lasts_to = "", until
    for on, quantity, title in needs:
        left -= quantity
        if left < 0:
            short_on, short_for, lasts_to = on, title, on - timedelta(days=1)
            break
    return ShelfLine(
        supply=supply,
        needed_milli=sum(quantity for _on, quantity, _title in needs),
        short_on=short_on,
        short_for=short_for,
        lasts_to=lasts_to,
        keeps_until=keeps_until(lots, supply.quantity_milli),
    )
