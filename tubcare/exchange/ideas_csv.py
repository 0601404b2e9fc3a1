"""Ideas side by side as a table that a spreadsheet opens safely."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from tubcare.exchange.cells import safe_cell
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.ledger.currency import Currency
    from tubcare.services.power_what_if import Compared


def ideas_csv(rows: Sequence[Compared], names: Sequence[str], currency: Currency) -> str:
    """Return each idea with energy [kWh], cost, saving and price in units of the currency."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    code = currency.code
    writer.writerow(
        ["idea", "kWh", f"cost {code}", f"saving {code}", f"price {code}", "pay back seasons"]
    )
    for row, name in zip(rows, names, strict=True):
        price = None if row.idea is None else row.idea.price_minor
        back = row.outcome.pay_back_seasons
        writer.writerow(
            [
                safe_cell(name),
                f"{row.outcome.kwh:.3f}",
                to_decimal(row.outcome.rounded_cost_minor, currency),
                to_decimal(round(row.outcome.saving_minor), currency),
                "" if price is None else to_decimal(price, currency),
                "" if back is None else f"{back:.2f}",
            ]
        )
    return text.getvalue()
