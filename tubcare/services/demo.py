"""A throw-away logbook of a small sauna club in a cold climate: invented, made by a seed."""

from __future__ import annotations

import random
import tempfile
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.care.model import TubState
from tubcare.ledger.categories import SpendCategory
from tubcare.services.demo_cold import add_cold
from tubcare.services.demo_water import change_water, measure_water, stock_water
from tubcare.services.desk import Desk
from tubcare.services.household import (
    POWER_PRICE,
    WATER_PRICE,
    change_setting,
    start_logbook,
)
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.money import BuildCost, StockPurchase, add_build_cost, buy_stock
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep import tick_off
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.values import Cladding, Liner, MonthDay, TubProfile

if TYPE_CHECKING:
    from tubcare.clock import Clock
    from tubcare.values import TubId

SEED = 7
ZONE = "Europe/Helsinki"
SEASON_WEEKS = 26
VOLUMES_L = (620.0, 1100.0)
DONE_SHARE = 0.85
CLOSING = "Close the tub for the winter"
OPENS, CLOSES = MonthDay(month=4, day=20), MonthDay(month=12, day=10)


@dataclass(slots=True)
class _Past:
    """A clock that is moved through the history of the scenario."""

    at: datetime

    def now(self) -> datetime:
        return self.at

    def today(self, zone: ZoneInfo) -> date:
        return self.at.astimezone(zone).date()


def demo_logbook(clock: Clock) -> Path:
    """Return a new logbook in a temporary folder, with a season of history up to today."""
    path = Path(tempfile.mkdtemp(prefix="tubcare-demo-")) / "demo.db"
    today = clock.today(ZoneInfo(ZONE))
    start = today - timedelta(weeks=SEASON_WEEKS - 1, days=2)
    past = _Past(_morning(start))
    store = open_store(path, past.now())
    desk = Desk(store, past, "Aino")
    tubs = _set_up(desk, start)
    chance = random.Random(SEED)  # noqa: S311  an invented history, not a secret
    for week in range(SEASON_WEEKS):
        past.at = _morning(start + timedelta(weeks=week))
        for tub in tubs:
            _week(desk, tub, week, chance)
        _work(desk, chance)
    past.at = clock.now() - timedelta(hours=20)
    stock_water(desk, start)
    change_water(desk, dict(zip(tubs, VOLUMES_L, strict=True)), start)
    measure_water(desk, tubs)
    store.close()
    return path


def _set_up(desk: Desk, start: date) -> tuple[TubId, TubId]:
    start_logbook(desk, currency_code="EUR", home_zone=ZONE, person="Aino")
    change_setting(desk, POWER_PRICE, "0.19")
    change_setting(desk, WATER_PRICE, "4.10")
    shore = add_tub_with_plan(
        desk,
        TubProfile(
            name="Shore",
            volume_l=VOLUMES_L[0],
            liner=Liner.ALUMINIUM,
            chiller_w=450,
            pump_w=45,
            zone=ZONE,
            latitude_deg=61.5,
            season_opens=OPENS,
            season_closes=CLOSES,
            people=14,
        ),
    ).tub
    yard = add_tub_with_plan(
        desk,
        TubProfile(
            name="Yard",
            volume_l=VOLUMES_L[1],
            liner=Liner.HDPE_PP,
            cladding=Cladding.SOFTWOOD,
            pump_w=60,
            zone=ZONE,
            latitude_deg=61.5,
            season_opens=OPENS,
            season_closes=CLOSES,
            people=14,
        ),
    ).tub
    for tub, minor in ((shore, 184_000), (yard, 96_000)):
        enter_state(desk, tub, TubState.OPEN, start)
        add_build_cost(desk, BuildCost(on=start, minor=minor, months=96, note="Build"))
        add_fill(desk, tub, VOLUMES_L[tub == yard], on=start)
    for tub in (shore, yard):
        add_cold(desk, tub, start)
    _buy(desk, start, "Filter cartridge", SpendCategory.FILTERS, 8, 9_600)
    _buy(desk, start, "Chlorine granules", SpendCategory.CHEMICALS, 1000, 2_450, unit="g")
    _buy(desk, start, "Test strips", SpendCategory.TESTING, 100, 1_990)
    return shore, yard


def _buy(  # noqa: PLR0913  the parts of one purchase
    desk: Desk,
    on: date,
    supply: str,
    category: SpendCategory,
    quantity: int,
    minor: int,
    *,
    unit: str = "piece",
) -> None:
    buy_stock(
        desk,
        StockPurchase(
            on=on,
            supply=supply,
            unit=unit,
            category=category,
            quantity_milli=quantity * 1000,
            minor=minor,
        ),
    )


def _week(desk: Desk, tub: TubId, week: int, chance: random.Random) -> None:
    add_dip(desk, tub, dips=chance.randint(4, 22))
    add_readings(
        desk,
        tub,
        {
            "ph": round(chance.gauss(7.25, 0.12), 1),
            "free_chlorine_mg_l": round(max(0.2, chance.gauss(1.7, 0.5)), 1),
            "water_c": round(chance.gauss(6.0, 0.8), 1),
        },
    )
    if week % 4 == 0:
        used = 1_000_000 + week * 11_500 + chance.randint(0, 2000)
        add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=used))


def _work(desk: Desk, chance: random.Random) -> None:
    found = this_week(desk)
    for item in (*found.late, *found.due_today):
        # Closing would empty the tub, and the rest of the season would have nothing to show.
        if item.title != CLOSING and chance.random() < DONE_SHARE:
            tick_off(desk, item.task, item.occurrence.key)


def _morning(day: date) -> datetime:
    return datetime.combine(day, time(9), UTC)
