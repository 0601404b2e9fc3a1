"""What a kilowatt hour cost between two readings of the meter."""

from __future__ import annotations

from datetime import UTC, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.services.desk import setting
from tubcare.services.household import POWER_PRICE, logbook_currency
from tubcare.services.power_build import power_plan

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.values import TubId

_HOUR = timedelta(hours=1)
_DIGITS = 8


def span_price(
    connection: Connection, tub: TubId, began: datetime, ended: datetime
) -> Decimal | None:
    """Return the price of a kilowatt hour between two instants, None while none is known.

    With a tariff that goes by the hour it is the mean over all hours with a price, tax included:
    when in that time the energy was drawn, the meter does not tell.
    """
    data = power_plan(connection, tub).get("tariff") or {}
    if not data:
        text = setting(connection, POWER_PRICE)
        return None if text is None else Decimal(text)
    if data["kind"] == "flat":
        if data["price"] is None:
            return None
        return Decimal(data["price"]) * (1 + Decimal(data["tax_percent"]) / 100)
    return _mean_price(connection, tub, began, ended)


def _mean_price(
    connection: Connection, tub: TubId, began: datetime, ended: datetime
) -> Decimal | None:
    # Brings numpy, which a logbook with one price does without.
    import numpy as np  # noqa: PLC0415

    from tubcare.energy.hours import HourRange  # noqa: PLC0415
    from tubcare.ledger.currency import currency  # noqa: PLC0415
    from tubcare.services.measures import tub_named  # noqa: PLC0415
    from tubcare.services.power_tariff import engine_tariff  # noqa: PLC0415

    tariff = engine_tariff(connection, tub)
    if tariff is None:
        return None
    start = began.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    count = max(1, -int(-(ended - start) // _HOUR))
    zone = ZoneInfo(tub_named(connection, tub).zone)
    prices = tariff.energy.minor_per_kwh(HourRange(start=start, count=count, zone=zone))
    known = prices[~np.isnan(prices)]
    if not known.size:
        return None
    minor = currency(logbook_currency(connection)).minor_per_unit
    mean = Decimal(repr(round(float(known.mean()), _DIGITS))) * tariff.with_tax
    return max(Decimal(0), mean / minor)
