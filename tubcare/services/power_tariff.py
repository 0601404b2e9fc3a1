"""The tariff of a tub: flat, by time of use, or by the hour, with its standing charge."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tubcare.energy.price_text import HourlyPrices, PricePer, read_prices
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff_plan import Band, TariffKind, TariffPlan, check_plan
from tubcare.ledger.currency import currency
from tubcare.services.desk import setting
from tubcare.services.household import POWER_PRICE, logbook_currency
from tubcare.services.measures import tub_named
from tubcare.services.power_build import POWER_TOPICS, keep_power_plan, power_plan

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.energy.tariff import Tariff
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_STEPS_OF_ONE = 100_000


def tariff_of(desk: Desk, tub: TubId | str | None = None) -> TariffPlan:
    """Return the tariff of a tub: its own, else the logbook's price of power."""
    with desk.read() as connection:
        return stored_tariff(connection, tub_named(connection, tub).id)


def stored_tariff(connection: Connection, tub: TubId) -> TariffPlan:
    """Return the tariff of a tub inside an open transaction."""
    data = power_plan(connection, tub).get("tariff") or {}
    if data:
        return _from_data(data)
    text = setting(connection, POWER_PRICE)
    return TariffPlan(price=None if text is None else Decimal(text))


def engine_tariff(connection: Connection, tub: TubId) -> Tariff | None:
    """Return the tariff of a tub in minor units of the logbook's currency."""
    code = currency(logbook_currency(connection))
    return stored_tariff(connection, tub).tariff(code.minor_per_unit)


def change_tariff(desk: Desk, tub: TubId | str | None, plan: TariffPlan) -> TubPlace:
    """Keep a tariff; charges that are written down stay as they are.

    Raises
    ------
    InputError, OutOfRangeError
        When a price is missing or cannot be right.
    """
    check_plan(plan)
    with desk.read() as connection:
        place = tub_named(connection, tub)
        minor = currency(logbook_currency(connection)).minor_per_unit
    plan.tariff(minor)
    with desk.write("change_tariff", place.name, POWER_TOPICS) as unit:
        keep_power_plan(unit, place.id, tariff=_to_data(plan))
        # Loaded here, for it reads tariffs itself.
        from tubcare.services.power_follow import follow_change  # noqa: PLC0415

        follow_change(unit, desk, place.id)
    return place


def prices_from_file(
    desk: Desk, tub: TubId | str | None, text: str, *, per: PricePer | None, in_utc: bool
) -> HourlyPrices:
    """Return the hourly prices of a file, to be looked at and then kept with `change_tariff`.

    Raises
    ------
    InputError
        When the file cannot be read or its unit has to be asked.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    return read_prices(text, clock=UTC if in_utc else ZoneInfo(place.zone), per=per)


def _to_data(plan: TariffPlan) -> dict[str, Any]:
    return {
        "kind": plan.kind.value,
        "price": None if plan.price is None else str(plan.price),
        "bands": [
            [band.from_minute, band.to_minute, str(band.price), sorted(band.weekdays)]
            for band in plan.bands
        ],
        "hourly": None if plan.hourly is None else _prices_data(plan.hourly),
        "standing_per_day": str(plan.standing_per_day),
        "tax_percent": str(plan.tax_percent),
        "view": plan.view.value,
        "household_kwh_a_year": None
        if plan.household_kwh_a_year is None
        else str(plan.household_kwh_a_year),
    }


def _prices_data(prices: HourlyPrices) -> dict[str, str]:
    cells = ("" if p is None else str(int(p * _STEPS_OF_ONE)) for p in prices.prices)
    return {"start": prices.start.isoformat(), "prices": ",".join(cells)}


def _from_data(data: Mapping[str, Any]) -> TariffPlan:
    hourly, household = data.get("hourly"), data.get("household_kwh_a_year")
    return TariffPlan(
        kind=TariffKind(data["kind"]),
        price=None if data["price"] is None else Decimal(data["price"]),
        bands=tuple(
            Band(from_minute=a, to_minute=b, price=Decimal(price), weekdays=frozenset(days))
            for a, b, price, days in data["bands"]
        ),
        hourly=None if hourly is None else _prices_from(hourly),
        standing_per_day=Decimal(data["standing_per_day"]),
        tax_percent=Decimal(data["tax_percent"]),
        view=StandingView(data["view"]),
        household_kwh_a_year=None if household is None else Decimal(household),
    )


def _prices_from(data: Mapping[str, str]) -> HourlyPrices:
    return HourlyPrices(
        start=datetime.fromisoformat(data["start"]),
        prices=tuple(
            None if not cell else Decimal(cell) / _STEPS_OF_ONE
            for cell in data["prices"].split(",")
        ),
        bad_rows=0,
    )
