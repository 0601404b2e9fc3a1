"""Waters, products and requests that the tests of the water start from."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from hypothesis import strategies as st

from tubcare.water.compounds import Compound
from tubcare.water.plan_model import (
    AdviceKind,
    DosingPlan,
    FillWater,
    PlanRequest,
    ShelfItem,
    StepKind,
    Targets,
    Window,
)
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

RESOURCES: Final = Path(__file__).parents[2] / "resources" / "water"
TARGETS: Final = Targets(
    ph=Window(low=7.0, aim=7.4, high=7.8),
    alkalinity=Window(low=30.0, aim=40.0, high=80.0),
    calcium=Window(low=20.0, aim=60.0, high=250.0),
    free_chlorine=Window(low=1.0, aim=2.0, high=3.0),
    cyanuric_acid_high=20.0,
    chloride_high=150.0,
)
SHELF: Final = tuple(
    ShelfItem(product=usual_product(compound), pack_price_minor=900)
    for compound in (
        Compound.SODIUM_BISULFATE,
        Compound.SODIUM_BICARBONATE,
        Compound.SODA_ASH,
        Compound.CALCIUM_CHLORIDE_DIHYDRATE,
        Compound.SODIUM_HYPOCHLORITE,
        Compound.DICHLOR_DIHYDRATE,
    )
)
SOFT_FILL: Final = FillWater(
    test=WaterTest(water_c=8, ph=7.8, alkalinity_mg_l=50, calcium_mg_l=60, tds_mg_l=120),
    price_minor_per_m3=400,
)


def a_test(**changes: float) -> WaterTest:
    """Return a cold tub's water in good order, with some values changed."""
    values: dict[str, float] = {
        "water_c": 5.0,
        "ph": 7.4,
        "alkalinity_mg_l": 60.0,
        "calcium_mg_l": 80.0,
        "tds_mg_l": 250.0,
        "free_chlorine_mg_l": 2.0,
    }
    return WaterTest(**(values | changes))


def a_request(test: WaterTest, **changes: object) -> PlanRequest:
    """Return a request for 500 L with the usual shelf."""
    values: dict[str, object] = {"volume_l": 500.0, "targets": TARGETS, "shelf": SHELF}
    return PlanRequest(test=test, **(values | changes))  # type: ignore[arg-type]  # mixed fields


def kinds(found: DosingPlan) -> list[StepKind]:
    """Return the kinds of a plan's steps, in their order."""
    return [step.kind for step in found.steps]


def advised(found: DosingPlan) -> set[AdviceKind]:
    """Return the kinds of what a plan advises."""
    return {advice.kind for advice in found.advice}


def waters(
    *, chlorine: bool = True, least_chlorine: float = 0.0, least_cyanurate: float = 0.0
) -> st.SearchStrategy[WaterTest]:
    """Return waters as a tub holds them, over the whole span of the constants."""
    zero = st.just(0.0)
    return st.builds(
        WaterTest,
        water_c=st.floats(0.0, 35.0),
        ph=st.floats(6.6, 8.6),
        alkalinity_mg_l=st.floats(30.0, 200.0),
        calcium_mg_l=st.floats(5.0, 400.0),
        tds_mg_l=st.one_of(st.none(), st.floats(100.0, 2000.0)),
        free_chlorine_mg_l=st.floats(least_chlorine, 8.0) if chlorine else zero,
        bromine_mg_l=st.floats(0.0, 6.0) if chlorine else zero,
        cyanuric_acid_mg_l=st.floats(least_cyanurate, 60.0) if chlorine else zero,
        boron_mg_l=st.floats(0.0, 10.0) if chlorine else zero,
    )
