"""The year review as a table that a spreadsheet opens safely."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from tubcare.exchange.cells import safe_cell
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from tubcare.ledger.currency import Currency
    from tubcare.services.reviews import Reviewed

HEAD = ("view", "table", "name")


def review_csv(reviewed: Reviewed, currency: Currency) -> str:
    """Return every table of a review: one line for each view and row, one column for each month.

    Amounts are plain numbers with a point, so that any program reads them.
    """
    review = reviewed.review
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    months = [f"{month.year}-{month.month:02}" for month in review.months]
    writer.writerow([*HEAD, *months, f"total {currency.code}", "before", "done", "missed"])

    def amount(minor: int | None) -> str:
        return "" if minor is None else str(to_decimal(minor, currency))

    for view in (review.paid, review.used):
        name = view.view.value
        for line in view.categories:
            writer.writerow(
                [
                    name,
                    "category",
                    line.category.value,
                    *map(amount, line.by_month),
                    amount(line.minor),
                    amount(line.before_minor),
                ]
            )
        for task in view.tasks:
            title = reviewed.titles.get(task.task, "") if task.task else ""
            writer.writerow(
                [
                    name,
                    "task",
                    safe_cell(title),
                    *map(amount, task.by_month),
                    amount(task.minor),
                    amount(task.before_minor),
                    task.done,
                    task.missed,
                ]
            )
    return text.getvalue()
