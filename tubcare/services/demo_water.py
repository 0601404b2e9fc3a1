"""The water of the demo: invented products, scoops, fill water and the newest test."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.services.measures import add_readings
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.water_shelf import put_measure, put_product
from tubcare.services.water_sources import choose_source, put_source
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.products import Form, Product, usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.values import TubId

_PRODUCTS = (
    ("pH minus", Compound.SODIUM_BISULFATE, 1500, 1_190),
    ("Bicarbonate", Compound.SODIUM_BICARBONATE, 1000, 490),
    ("Bleach", Compound.SODIUM_HYPOCHLORITE, 2000, 690),
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
    for name, compound, amount, minor in _PRODUCTS:
        product = _named(name, compound)
        put_product(desk, product, filled_on=bought_on, storage_c=12.0)
        buy_stock(
            desk,
            StockPurchase(
                on=bought_on,
                supply=name,
                unit=product.unit,
                category=SpendCategory.CHEMICALS,
                quantity_milli=amount * 1000,
                minor=minor,
            ),
        )
    put_measure(desk, Measure(name="blue scoop", capacity_ml=5.0, for_form=Form.SOLID))
    put_measure(
        desk, Measure(name="syringe", capacity_ml=20.0, divisions=20, for_form=Form.LIQUID)
    )
    put_source(desk, "Well", _WELL, tested_on=bought_on)


def measure_water(desk: Desk, tubs: Sequence[TubId]) -> None:
    """Write down the newest test of each tub: the first calls for a plan, the second is fine."""
    for tub in tubs:
        choose_source(desk, tub, "Well")
    seen = {"clarity": 0.0, "smell": 0.0, "foam": 0.0, "ice": 0.0, "water_c": 5.6}
    values = {"ph": 7.9, "free_chlorine_mg_l": 0.4, "alkalinity_mg_l": 62.0}
    add_readings(desk, tubs[0], {**seen, **values, "clarity": 1.0, "hardness_mg_l": 50.0})
    fine = {"ph": 7.4, "free_chlorine_mg_l": 1.8, "total_chlorine_mg_l": 2.0}
    add_readings(desk, tubs[1], {**seen, **fine, "alkalinity_mg_l": 58.0})


def _named(name: str, compound: Compound) -> Product:
    return replace(usual_product(compound), name=name)
