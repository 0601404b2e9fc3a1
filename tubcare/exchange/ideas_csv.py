"""Ideas side by side as a table that a spreadsheet opens safely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.exchange.cells import safe_cell, table_text
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.energy.uncertainty import Estimate
    from tubcare.ledger.currency import Currency
    from tubcare.services.power_what_if import Compared

_ENDS = ("", " low", " high")


def ideas_csv(rows: Sequence[Compared], names: Sequence[str], currency: Currency) -> str:
    """Return each idea with energy [kWh], cost, saving and price in units of the currency.

    Cost, saving and pay-back are followed by their range; an empty end of a pay-back is never.
    """
    written: list[list[object]] = []
    code = currency.code
    written.append(
        [
            "idea",
            "kWh",
            *(f"{name} {code}{end}" for name in ("cost", "saving") for end in _ENDS),
            f"price {code}",
            *(f"pay back seasons{end}" for end in _ENDS),
        ]
    )
    for row, name in zip(rows, names, strict=True):
        outcome = row.outcome
        price = None if row.idea is None else row.idea.price_minor
        between = outcome.pay_back_range
        back = (
            outcome.pay_back_seasons,
            None if between is None else between.soonest,
            None if between is None else between.latest,
        )
        written.append(
            [
                safe_cell(name),
                f"{outcome.kwh:.3f}",
                *_money(outcome.cost_minor, outcome.cost_range, currency),
                *_money(outcome.saving_minor, outcome.saving_range, currency),
                "" if price is None else to_decimal(price, currency),
                *("" if seasons is None else f"{seasons:.2f}" for seasons in back),
            ]
        )
    return table_text(written)


def _money(minor: float, around: Estimate | None, currency: Currency) -> list[str]:
    ends = (None, None) if around is None else (around.low, around.high)
    return ["" if end is None else str(to_decimal(round(end), currency)) for end in (minor, *ends)]
