"""A tariff as a table that a spreadsheet opens safely."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.energy.tariff_plan import TariffKind
from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.energy.tariff_plan import TariffPlan

_HOUR = timedelta(hours=1)
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def tariff_csv(plan: TariffPlan, code: str, zone: str) -> str:
    """Return what is kept of a tariff: prices of a kilowatt hour in units of the currency `code`.

    Parts that the present kind does not use are written as well. Hours begin at a local time of
    `zone` with its offset; one without a price has an empty cell.
    """
    return table_text(_rows(plan, code, ZoneInfo(zone)))


def _rows(plan: TariffPlan, code: str, zone: ZoneInfo) -> Iterator[list[str]]:
    yield ["part", "from", "to", "weekdays", f"{code} or value"]
    yield ["kind", "", "", "", plan.kind.value]
    name = "price" if plan.kind is TariffKind.FLAT else "price outside all times"
    yield [name, "", "", "", "" if plan.price is None else str(plan.price)]
    for band in plan.bands:
        days = " ".join(_DAYS[day] for day in sorted(band.weekdays))
        yield ["band", _clock(band.from_minute), _clock(band.to_minute), days, str(band.price)]
    yield ["standing charge a day", "", "", "", str(plan.standing_per_day)]
    yield ["standing charge borne", "", "", "", plan.view.value]
    yield ["tax percent", "", "", "", str(plan.tax_percent)]
    household = plan.household_kwh_a_year
    yield ["household kWh a year", "", "", "", "" if household is None else str(household)]
    if plan.hourly is not None:
        start = plan.hourly.start.astimezone(UTC)
        for number, price in enumerate(plan.hourly.prices):
            begins, ends = (
                (start + n * _HOUR).astimezone(zone).isoformat(timespec="minutes")
                for n in (number, number + 1)
            )
            yield ["hour", begins, ends, "", "" if price is None else str(price)]


def _clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"
