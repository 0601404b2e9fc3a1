"""What a plan leaves out, advises or warns of beside its steps."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.water.waters import SHELF, SOFT_FILL, TARGETS, a_request, a_test, advised
from tubcare.water.compounds import Compound
from tubcare.water.plan import plan
from tubcare.water.plan_model import AdviceKind, StepKind


def test_dichlor_is_left_out_where_cyanurate_would_pass_its_limit() -> None:
    dichlor = [i for i in SHELF if i.product.compound is Compound.DICHLOR_DIHYDRATE]
    test = a_test(free_chlorine_mg_l=0.0, cyanuric_acid_mg_l=19.5)
    found = plan(a_request(test, shelf=dichlor))
    assert found.steps == ()
    assert not found.reached
    assert AdviceKind.CYANURATE_LEFT_OUT in advised(found)


def test_too_much_cyanurate_calls_for_a_change_of_water() -> None:
    found = plan(a_request(a_test(cyanuric_acid_mg_l=60.0), fill=SOFT_FILL))
    assert found.steps[0].kind is StepKind.CHANGE_WATER
    assert found.change is not None
    assert found.final.test.cyanuric_acid_mg_l <= 20.0
    assert AdviceKind.CHANGE_NEEDED in advised(found)


def test_a_change_beats_dosing_against_a_high_alkalinity() -> None:
    found = plan(a_request(a_test(ph=7.5, alkalinity_mg_l=160.0), fill=SOFT_FILL))
    assert found.change is not None
    assert AdviceKind.CHANGE_BEATS_DOSING in advised(found)
    assert found.change.litres == pytest.approx(found.steps[0].change_l)
    assert found.cost_minor >= found.steps[0].cost_minor > 0


def test_no_more_water_is_changed_than_the_range_asks_for() -> None:
    """Down from 100 to 76 mg/L with fill water of 30 takes a third; to the aim, six sevenths."""
    soft = replace(SOFT_FILL, test=replace(SOFT_FILL.test, alkalinity_mg_l=30.0))
    found = plan(a_request(a_test(alkalinity_mg_l=100.0), fill=soft))
    assert found.change is not None
    assert found.change.litres == pytest.approx(500.0 * 24.0 / 70.0, rel=0.01)
    assert TARGETS.alkalinity.contains(found.final.test.alkalinity_mg_l)


def test_without_fill_water_the_plan_still_says_what_dilution_should_do() -> None:
    found = plan(a_request(a_test(cyanuric_acid_mg_l=60.0)))
    assert AdviceKind.CHANGE_NEEDED in advised(found)
    assert not found.reached


def test_fill_water_that_does_not_help_is_named() -> None:
    hard = replace(SOFT_FILL, test=replace(SOFT_FILL.test, calcium_mg_l=300.0))
    found = plan(a_request(a_test(calcium_mg_l=290.0), fill=hard))
    assert AdviceKind.FILL_WATER_NO_HELP in advised(found)


def test_what_the_shelf_lacks_is_said() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=0.0, ph=8.4), shelf=()))
    assert {AdviceKind.SHELF_LACKS, AdviceKind.NOT_REACHED} <= advised(found)
    assert not found.reached


@pytest.mark.parametrize(("ph", "alkalinity", "lacks"), [(8.4, 60.0, "acid"), (6.4, 15.0, "base")])
def test_the_kind_of_product_that_is_lacking_is_named(
    ph: float, alkalinity: float, lacks: str
) -> None:
    found = plan(a_request(a_test(ph=ph, alkalinity_mg_l=alkalinity), shelf=()))
    about = {each.about for each in found.advice if each.kind is AdviceKind.SHELF_LACKS}
    assert about == {lacks}


def test_a_stock_that_runs_short_is_said() -> None:
    shelf = [replace(item, left=0.5) for item in SHELF]
    assert AdviceKind.STOCK_SHORT in advised(plan(a_request(a_test(ph=8.3), shelf=shelf)))


def test_a_high_sanitiser_is_left_to_fall() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=6.0)))
    assert found.steps == ()
    assert AdviceKind.SANITISER_HIGH in advised(found)


def test_chlorine_in_a_peroxide_water_is_warned_of() -> None:
    found = plan(a_request(a_test(peroxide_mg_l=20.0)))
    assert AdviceKind.PEROXIDE_WITH_CHLORINE in advised(found)
