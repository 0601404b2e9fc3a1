"""The water of the demo: invented products, scoops, fill water and the newest test."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.services.demo_days import GRANULES, PH_MINUS, usual_water_c
from tubcare.services.measures import add_readings
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.water_shelf import put_measure, put_product
from tubcare.services.water_sources import choose_source, put_source
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.products import Form, Product, usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.demo_club import TubLife
    from tubcare.services.desk import Desk

# What the club has bought all along, and what those grains hold.
_GRAINS = (
    (PH_MINUS, Compound.SODIUM_BISULFATE),
    (GRANULES, Compound.CALCIUM_HYPOCHLORITE),
)
_WELL = WaterTest(
    water_c=8.0,
    ph=7.4,
    alkalinity_mg_l=55.0,
    calcium_mg_l=45.0,
    tds_mg_l=140.0,
    chloride_mg_l=12.0,
)


def stock_water(desk: Desk, bought_on: date) -> None:
    """Put products, scoops and the club's well on the shelf."""
    soda = _named(desk.own_words("Sodium bicarbonate"), Compound.SODIUM_BICARBONATE)
    grains = [_named(desk.own_words(name), compound) for name, compound in _GRAINS]
    for product in (*grains, soda):
        put_product(desk, product, filled_on=bought_on, storage_c=12.0)
    bought = StockPurchase(
        on=bought_on,
        supply=soda.name,
        unit=soda.unit,
        category=SpendCategory.CHEMICALS,
        quantity_milli=1_000_000,
        minor=490,
        payee="Pool supplies",
    )
    buy_stock(desk, bought)
    put_measure(desk, Measure(name="blue scoop", capacity_ml=5.0, for_form=Form.SOLID))
    put_measure(desk, Measure(name="tiny scoop", capacity_ml=1.0, for_form=Form.SOLID))
    put_source(desk, "Well", _WELL, tested_on=bought_on)


def measure_water(desk: Desk, tubs: tuple[TubLife, TubLife]) -> None:
    """Write down the newest test of each tub: the first calls for a plan, the second is fine."""
    month = desk.now().month
    seen = {"clarity": 0.0, "smell": 0.0, "foam": 0.0, "ice": 0.0, "alkalinity_mg_l": 54.0}
    asking = {"ph": 7.9, "free_chlorine_mg_l": 0.6, "clarity": 1.0, "hardness_mg_l": 50.0}
    fine = {"ph": 7.4, "free_chlorine_mg_l": 1.8, "total_chlorine_mg_l": 2.0}
    for tub, values in zip(tubs, (asking, fine), strict=True):
        choose_source(desk, tub.id, "Well")
        add_readings(desk, tub.id, {**seen, **values, "water_c": usual_water_c(tub, month)})


def _named(name: str, compound: Compound) -> Product:
    return replace(usual_product(compound), name=name)
