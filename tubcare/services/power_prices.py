"""What a kilowatt hour cost between two readings of the meter."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.services.desk import setting
from tubcare.services.household import POWER_PRICE
from tubcare.services.power_build import power_plan

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.services.power_weighed import WeighedPrices
    from tubcare.values import TubId


class SpanPrices:
    """The prices of a tub's spans between readings; what they rest on is read once.

    One price holds for every span. With a tariff that goes by the hour each span has its own: the
    meter does not tell when the energy was drawn, so the model does.
    """

    def __init__(self, connection: Connection, tub: TubId) -> None:
        self._connection = connection
        self._tub = tub
        self._weighed: WeighedPrices | None = None
        data = power_plan(connection, tub).get("tariff") or {}
        self._by_hour = bool(data) and data["kind"] != "flat"
        text = data.get("price") if data else setting(connection, POWER_PRICE)
        tax = Decimal(data["tax_percent"]) if data else Decimal(0)
        self._one = None if text is None else Decimal(text) * (1 + tax / 100)

    @property
    def known(self) -> bool:
        """Whether any price is known."""
        return self._by_hour or self._one is not None

    def of(self, began: datetime, ended: datetime) -> Decimal | None:
        """Return the price of a kilowatt hour between two instants, None while none is known."""
        if not self._by_hour:
            return self._one
        if self._weighed is None:
            # Brings numpy, which a logbook with one price does without.
            from tubcare.services.power_weighed import WeighedPrices  # noqa: PLC0415

            self._weighed = WeighedPrices(self._connection, self._tub)
        return self._weighed.of(began, ended)
