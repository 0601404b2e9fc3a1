"""A running plan as a table that a spreadsheet opens safely."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.ledger.currency import Currency
    from tubcare.services.power_hours import HoursPlan


def hours_csv(plan: HoursPlan, currency: Currency) -> str:
    """Return each hour: local beginning, share to run, water at its end, price of a kilowatt hour.

    Then what the plan costs, and saves against a thermostat; money in units of the currency.
    """
    return table_text(_rows(plan, currency))


def _rows(plan: HoursPlan, currency: Currency) -> Iterator[list[str]]:
    yield ["what", "begins", "run share", "water C", f"{currency.code} per kWh or {currency.code}"]
    yield ["water now", "", "", f"{plan.start_c:.2f}", ""]
    for hour in plan.hours:
        price = Decimal(repr(round(hour.price_minor, 3))) / currency.minor_per_unit
        cells = (f"{hour.run_share:.2f}", f"{hour.water_c:.2f}", str(price))
        yield ["hour", hour.begins.isoformat(), *cells]
    for what, money in (("cost", plan.cost), ("saving", plan.saving)):
        ends = (("", money.value), (" low", money.low), (" high", money.high))
        for end, minor in ends:
            yield [f"{what}{end}", "", "", "", str(to_decimal(round(minor), currency))]
    yield ["hours outside the band", "", str(plan.leaves_band_h), "", ""]
