"""The club of the demo, invented: its people, tubs, build, budgets, prices and shopping."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.household import (
    POWER_PRICE,
    WATER_PRICE,
    change_setting,
    start_logbook,
)
from tubcare.services.money import Belongs, BuildCost, StockPurchase, add_build_cost, buy_stock
from tubcare.services.plans import accept, add_tub_with_plan
from tubcare.services.supplies import find_supply
from tubcare.store.tables import EntryRow, TaskRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import Cladding, LidKind, Liner, MonthDay, TaskId, TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

ZONE_NAME = "Europe/Helsinki"
PEOPLE = ("Aino", "Eero", "Sanna")
OPENS, CLOSES = MonthDay(month=4, day=24), MonthDay(month=12, day=5)

# Beyond what every plan starts with.
_TAKEN = frozenset(
    {
        "season.midwinter",
        "season.after_closing",
        "season.order",
        "lid.gasket",
        "lid.lock",
        "lines.dry_finger",
        "pump.look",
        "chiller.look",
        "water.waterline",
        "wood.wash",
        "liner.inspect",
    }
)
_SHORE = TubProfile(
    name="Shore",
    volume_l=620,
    liner=Liner.ALUMINIUM,
    lid=LidKind.SOFT,
    chiller_w=450,
    pump_w=45,
    zone=ZONE_NAME,
    latitude_deg=59.8,
    season_opens=OPENS,
    season_closes=CLOSES,
    people=14,
)
_YARD = TubProfile(
    name="Yard",
    volume_l=1100,
    liner=Liner.HDPE_PP,
    cladding=Cladding.SOFTWOOD,
    pump_w=60,
    zone=ZONE_NAME,
    latitude_deg=59.8,
    season_opens=OPENS,
    season_closes=CLOSES,
    people=14,
)
# Name, unit, category, how many are bought at once, for how much, and below how many.
_SHOPPING = (
    ("Filter cartridge", "piece", SpendCategory.FILTERS, 6, 7_140, 3),
    ("Chlorine granules", "g", SpendCategory.CHEMICALS, 1000, 2_450, 250),
    ("Test strips", "piece", SpendCategory.TESTING, 100, 1_990, 25),
    ("pH minus (sodium bisulfate)", "g", SpendCategory.CHEMICALS, 1500, 1_190, 200),
    ("Line purge", "piece", SpendCategory.CHEMICALS, 6, 1_450, 2),
    ("Sodium thiosulfate", "g", SpendCategory.CHEMICALS, 250, 790, 60),
    ("Wood cleaner", "ml", SpendCategory.OTHER, 1000, 1_290, 250),
    ("Wood oil", "l", SpendCategory.OTHER, 2, 5_780, 1),
)
_BUILD = (
    (0, "Chest, liner and frame", 118_000, 120, 8_000),
    (0, "Chiller and pump", 74_500, 84, 0),
    (1, "Barrel of spruce with a plastic liner", 96_000, 120, 0),
    (1, "Pump, filter and hoses", 31_500, 72, 0),
)


@dataclass(slots=True)
class TubLife:
    """A tub in the course of the story: what its meters show and how its water stands."""

    id: TubId
    name: str
    litres: int
    chiller_w: float
    pump_w: float
    tasks: dict[TaskId, str] = field(default_factory=dict)
    kwh: float = 0.0
    pump_h: float = 0.0
    chiller_h: float = 0.0
    ph: float = 7.2
    chlorine: float = 1.8
    is_open: bool = False
    dosed_on: date | None = None
    visits: dict[str, int] = field(default_factory=dict)


def found_club(desk: Desk, start: date) -> tuple[TubLife, TubLife]:
    """Set the logbook up with two tubs, what they cost to build, and prices."""
    start_logbook(desk, currency_code="EUR", home_zone=ZONE_NAME, person=PEOPLE[0])
    change_setting(desk, POWER_PRICE, "0.19")
    change_setting(desk, WATER_PRICE, "4.10")
    lives = tuple(_add(desk, profile) for profile in (_SHORE, _YARD))
    for place, note, minor, months, salvage in _BUILD:
        cost = BuildCost(
            on=start,
            minor=minor,
            months=months,
            salvage_minor=salvage,
            note=note,
            belongs=Belongs(tub=lives[place].id),
        )
        add_build_cost(desk, cost)
    return lives[0], lives[1]


def plan_the_year(desk: Desk, year: int) -> None:
    """Set the budgets of a year."""
    wanted = {
        SpendCategory.POWER: 9_000,
        SpendCategory.FILTERS: 30_000 if year % 2 else 28_000,
        SpendCategory.CHEMICALS: 11_000,
        SpendCategory.TESTING: 8_000,
        SpendCategory.REPAIRS: 15_000,
        SpendCategory.WATER: 6_000,
    }
    set_budgets(desk, year, wanted)


def shop(desk: Desk, on: date) -> None:
    """Buy what has run low."""
    for title, unit, category, amount, minor, low in _SHOPPING:
        name = desk.own_words(title)
        if _on_shelf(desk, name) < low * 1000:
            purchase = StockPurchase(
                on=on,
                supply=name,
                unit=desk.own_words(unit),
                category=category,
                quantity_milli=amount * 1000,
                minor=minor + on.year % 2 * (minor // 25),
                payee="Hardware store" if category is SpendCategory.OTHER else "Pool supplies",
                expires_on=on + timedelta(days=730) if unit == "g" else None,
            )
            buy_stock(desk, purchase)


def _add(desk: Desk, profile: TubProfile) -> TubLife:
    tub = add_tub_with_plan(desk, profile).tub
    accept(desk, tub, _TAKEN)
    table = table_of(TaskRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table.c.id, table.c.template_key).where(table.c.tub_id == tub)
        ).all()
    tasks = {TaskId(row.id): row.template_key for row in rows}
    return TubLife(
        id=tub,
        name=profile.name,
        litres=int(profile.volume_l or 0),
        chiller_w=profile.chiller_w,
        pump_w=profile.pump_w,
        tasks=tasks,
    )


def _on_shelf(desk: Desk, name: str) -> int:
    entry, use = table_of(EntryRow), table_of(UseRow)
    with desk.read() as connection:
        supply = find_supply(connection, name)
        if supply is None:
            return 0
        bought, used = (
            connection.execute(
                select(func.coalesce(func.sum(table.c.quantity_milli), 0)).where(
                    table.c.supply_id == supply
                )
            ).scalar_one()
            for table in (entry, use)
        )
    return int(bought) - int(used)
