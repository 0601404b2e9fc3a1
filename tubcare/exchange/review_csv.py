"""The year review as a table that a spreadsheet opens safely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.exchange.cells import safe_cell, table_text
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tubcare.ledger.currency import Currency
    from tubcare.ledger.effects import Effects
    from tubcare.ledger.review_model import ViewReview
    from tubcare.services.reviews import Reviewed

HEAD = ("view", "table", "name")
TAIL = (
    "before",
    "budget",
    "likely",
    "done",
    "missed",
    "by price",
    "by quantity",
    "by both",
    "other",
)

Cells = dict[str, str]


def review_csv(reviewed: Reviewed, currency: Currency) -> str:
    """Return every table of a review: one line for each view and row, one column for each month.

    Amounts are plain numbers with a point, so that any program reads them. `likely` is the cost
    of the whole period with what is to come. Lines of the table “change” say why what was used
    changed since the period before: the total is the change, its parts are the last columns.
    """
    months = [f"{month.year}-{month.month:02}" for month in reviewed.review.months]
    total = f"total {currency.code}"
    names = [*HEAD, *months, total, *TAIL]
    table = _Table(reviewed, currency, months, total)
    lines = [
        cells
        for view in (reviewed.review.paid, reviewed.review.used)
        for cells in (*table.categories(view), *table.tasks(view), *table.tubs(view))
    ]
    lines += table.changes()
    return table_text((names, *([cells.get(name, "") for name in names] for cells in lines)))


class _Table:
    """Makes the lines of each table, as cells by the name of their column."""

    def __init__(
        self, reviewed: Reviewed, currency: Currency, months: Sequence[str], total: str
    ) -> None:
        self._reviewed = reviewed
        self._currency = currency
        self._months = months
        self._total = total

    def categories(self, view: ViewReview) -> Iterator[Cells]:
        planned = {line.category: line for line in view.budget.lines}
        for line in view.categories:
            cells = self._cells(view, "category", line.category.value, line.minor)
            cells |= self._by_month(line.by_month)
            cells["before"] = self._amount(line.before_minor)
            budget = planned.get(line.category)
            if budget is not None:
                cells["budget"] = self._amount(budget.budget_minor)
                cells["likely"] = self._amount(budget.forecast_minor)
            yield cells

    def tasks(self, view: ViewReview) -> Iterator[Cells]:
        for line in view.tasks:
            name = self._reviewed.task_name(line.task)
            cells = self._cells(view, "task", name, line.minor)
            cells |= self._by_month(line.by_month)
            cells["before"] = self._amount(line.before_minor)
            cells |= {"done": f"{line.done}", "missed": f"{line.missed}"}
            yield cells

    def tubs(self, view: ViewReview) -> Iterator[Cells]:
        for line in view.tubs:
            name = "" if line.tub is None else self._reviewed.tub_names.get(line.tub, "")
            cells = self._cells(view, "tub", name, line.minor)
            cells["before"] = self._amount(line.before_minor)
            yield cells

    def changes(self) -> Iterator[Cells]:
        for item in self._reviewed.effects.items:
            yield self._change(item)

    def _change(self, item: Effects) -> Cells:
        _kind, _, name = item.key.partition(":")
        return {
            "view": self._reviewed.review.used.view.value,
            "table": "change",
            "name": safe_cell(name),
            self._total: self._amount(item.change_minor),
            "by price": self._amount(item.price_minor),
            "by quantity": self._amount(item.quantity_minor),
            "by both": self._amount(item.joint_minor),
            "other": self._amount(item.other_minor),
        }

    def _cells(self, view: ViewReview, table: str, name: str, minor: int) -> Cells:
        return {
            "view": view.view.value,
            "table": table,
            "name": safe_cell(name),
            self._total: self._amount(minor),
        }

    def _by_month(self, by_month: Sequence[int]) -> Cells:
        return dict(zip(self._months, map(self._amount, by_month), strict=True))

    def _amount(self, minor: int | None) -> str:
        return "" if minor is None else str(to_decimal(minor, self._currency))
