"""A season's power as a table that a spreadsheet opens safely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from tubcare.energy.uncertainty import Estimate
    from tubcare.ledger.currency import Currency
    from tubcare.services.power import Power
    from tubcare.services.power_spans import PowerSpan

_KWH = ("value", "low", "high")


def power_csv(power: Power, currency: Currency) -> str:
    """Return season, months and weeks: metered, modelled and filled, each with its range.

    Energy in kWh, hours in h, starts as counts, money in units of the currency; numbers have a
    point.
    """
    written: list[list[object]] = []
    written.append(
        [
            "span",
            "first",
            "last",
            "running days",
            "metered kWh",
            "metered days",
            *(f"modelled kWh {end}" for end in _KWH),
            "modelled days",
            *(f"chiller h {end}" for end in _KWH),
            *(f"chiller starts {end}" for end in _KWH),
            *(f"filled kWh {end}" for end in _KWH),
            *(f"filled {currency.code} {end}" for end in _KWH),
            "days without price",
            f"standing {currency.code}",
        ]
    )
    spans = [] if power.season is None else [("season", power.season)]
    spans += [("month", span) for span in power.months]
    spans += [("week", span) for span in power.weeks]
    for name, span in spans:
        written.append([name, *_row(span, currency)])
    return table_text(written)


def _row(span: PowerSpan, currency: Currency) -> list[str]:
    modelled = span.modelled
    return [
        span.first.isoformat(),
        span.last.isoformat(),
        str(span.running_days),
        "" if span.metered_kwh is None else f"{span.metered_kwh:.3f}",
        str(span.metered_days),
        *_three(None if modelled is None else modelled.kwh),
        str(span.modelled_days),
        *_three(None if modelled is None else modelled.run_h),
        *_three(None if modelled is None else modelled.starts),
        *_three(span.filled_kwh),
        *_money(span.filled_minor, currency),
        str(span.unpriced_days),
        ""
        if span.standing_minor is None
        else str(to_decimal(round(span.standing_minor), currency)),
    ]


def _three(value: Estimate | None) -> tuple[str, str, str]:
    if value is None:
        return ("", "", "")
    return (f"{value.value:.3f}", f"{value.low:.3f}", f"{value.high:.3f}")


def _money(value: Estimate | None, currency: Currency) -> tuple[str, ...]:
    if value is None:
        return ("", "", "")
    ends = (value.value, value.low, value.high)
    return tuple(str(to_decimal(round(end), currency)) for end in ends)
