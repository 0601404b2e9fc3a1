"""Amounts as scoops, stock solutions or by weight."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tubcare.water.compounds import Compound
from tubcare.water.measures import SOLUBLE, Measure, portion, stock_solution
from tubcare.water.products import Form, usual_product


def test_an_amount_is_rounded_to_the_scoop_at_hand() -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=2)
    found = portion(usual_product(Compound.SODA_ASH), 10.3, [spoon])
    assert found.measured is not None
    assert found.measured.count == 2.0
    assert found.amount == pytest.approx(10.0)


def test_an_amount_too_small_to_scoop_is_offered_as_a_solution() -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=2)
    found = portion(usual_product(Compound.SODIUM_BISULFATE), 0.8, [spoon])
    assert found.measured is None
    assert found.stock is not None
    drawn = found.stock.solid_g * found.stock.use_ml / found.stock.made_ml
    assert drawn == pytest.approx(0.8, rel=0.05)
    assert found.amount == pytest.approx(drawn, rel=0.005)


def test_an_amount_that_no_scoop_hits_is_offered_as_whole_scoops_dissolved() -> None:
    scoop = Measure(name="scoop", capacity_ml=10.0, divisions=1, for_form=Form.SOLID)
    cup = Measure(name="cup", capacity_ml=100.0, divisions=10, for_form=Form.LIQUID)
    found = portion(usual_product(Compound.SODA_ASH), 15.0, [scoop, cup])
    # Two scoops hold 20 g; 15 g of them are in three quarters of the litre: 7.5 of the cup.
    assert found.measured is None
    assert found.stock is not None
    assert (found.stock.scoops, found.stock.solid_g, found.stock.made_ml) == (2, 20.0, 1000.0)
    assert found.stock.use_ml == pytest.approx(750.0)
    assert found.stock.measured is not None
    assert found.stock.measured.count == pytest.approx(7.5)


@given(
    amount=st.floats(0.05, 300.0),
    capacity=st.floats(0.5, 60.0),
    divisions=st.sampled_from([1, 2]),
    compound=st.sampled_from(sorted(SOLUBLE)),
)
def test_a_stock_solution_holds_the_dose_within_a_tenth_and_is_dilute(
    amount: float, capacity: float, divisions: int, compound: Compound
) -> None:
    scoop = Measure(name="scoop", capacity_ml=capacity, divisions=divisions)
    product = usual_product(compound)
    found = stock_solution(product, amount, [scoop])
    assume(found is not None)
    assert found is not None
    assert found.solid_g * found.use_ml / found.made_ml == pytest.approx(amount, rel=0.1001)
    # 6.9 g of bicarbonate dissolve in 100 g of water at 0 °C (handbook table, from memory).
    assert found.solid_g / found.made_ml <= 0.069 / 2
    assert found.use_ml <= found.made_ml * 1.1001
    assert found.solid_g == pytest.approx(found.scoops * capacity * product.density_kg_l)


@pytest.mark.parametrize(
    "compound",
    [
        Compound.TRICHLOR,
        Compound.BROMINE_TABLET,
        Compound.CYANURIC_ACID,
        Compound.BORAX,
        Compound.CAUSTIC_SODA,
        Compound.CALCIUM_HYPOCHLORITE,
    ],
)
def test_what_makes_no_harmless_solution_is_weighed(compound: Compound) -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=1)
    found = portion(usual_product(compound), 0.8, [spoon])
    assert (found.measured, found.stock) == (None, None)
    assert found.amount == 0.8


def test_without_a_scoop_for_solids_a_solid_is_weighed() -> None:
    syringe = Measure(name="syringe", capacity_ml=10.0, divisions=10, for_form=Form.LIQUID)
    found = portion(usual_product(Compound.SODA_ASH), 3.21, [syringe])
    assert (found.measured, found.stock, found.amount) == (None, None, 3.21)


def test_a_syringe_is_for_liquids_only() -> None:
    syringe = Measure(name="syringe", capacity_ml=10.0, divisions=20, for_form=Form.LIQUID)
    solid = portion(usual_product(Compound.SODA_ASH), 10.0, [syringe])
    liquid = portion(usual_product(Compound.SODIUM_HYPOCHLORITE), 7.4, [syringe])
    assert solid.measured is None
    assert liquid.measured is not None
    assert liquid.amount == pytest.approx(7.5)
