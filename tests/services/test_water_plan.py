"""The dosing plan through the services: what is to be added, and why nothing can be."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.dosing import HIGH_PH_LOW_CHLORINE, TAP, put_on_shelf
from tubcare.services.household import WATER_PRICE, change_setting
from tubcare.services.measures import add_readings
from tubcare.services.removal import delete_fill
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import PlanState
from tubcare.services.water_shelf import put_measure
from tubcare.services.water_sources import choose_source, put_source
from tubcare.store.tables import EntryRow, FillRow
from tubcare.store.unit import table_of
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.plan_model import AdviceKind, StepKind
from tubcare.water.products import Form
from tubcare.water.ranges import Quantity
from tubcare.water.strips import Source

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@pytest.mark.usefixtures("shelf")
def test_a_bad_test_gives_numbered_steps_with_amounts_cautions_waits_and_expectations(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    found = water_plan(desk, tub)
    assert found.state is PlanState.STEPS
    assert [each.number for each in found.steps] == list(range(1, len(found.steps) + 1))
    assert found.steps[-1].step.kind is StepKind.SANITISER
    for each in found.steps:
        assert each.step.portion is not None
        assert each.step.portion.amount > 0
        assert each.own_cautions
        assert each.general_cautions
        assert each.step.wait_min > 0
    last = found.steps[-1].step.expected.test
    assert 7.0 <= last.ph <= 7.8
    assert 1.0 <= last.free_chlorine_mg_l <= 3.0


@pytest.mark.usefixtures("shelf")
def test_the_amount_is_rounded_to_a_scoop_that_the_person_owns(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    acid = water_plan(desk, tub).steps[0].step
    assert acid.portion is not None
    assert acid.portion.measured is not None
    assert acid.portion.measured.measure.name == "scoop"
    # A scoop of 2.5 mL in halves, at the usual bulk density of 1.4 kg/L.
    assert acid.portion.amount % 1.75 == pytest.approx(0.0, abs=1e-6)


@pytest.mark.usefixtures("shelf")
def test_a_plan_from_a_strip_says_where_in_its_band_each_colour_was_taken_to_be(
    desk: Desk, tub: TubId
) -> None:
    add_test(desk, tub, Entry(colours={"ph": 4, "alkalinity_mg_l": 4, "free_chlorine_mg_l": 0}))
    found = water_plan(desk, tub)
    assert found.whole is not None
    taken = {e.field: e.value for e in found.assumed if e.source is Source.BAND}
    seen = {each.quantity: each.sighting for each in water_now(desk, tub).judged}
    alkalinity, chlorine = seen[Quantity.ALKALINITY], seen[Quantity.FREE_CHLORINE]
    assert alkalinity is not None
    assert alkalinity.band is not None
    assert taken["alkalinity_mg_l"] == pytest.approx(alkalinity.band.low)
    assert chlorine is not None
    assert chlorine.band is not None
    assert taken["free_chlorine_mg_l"] == pytest.approx(chlorine.band.high)


def test_a_stock_solution_has_cautions_of_its_own_beside_those_of_the_product(
    desk: Desk, tub: TubId
) -> None:
    put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)
    put_measure(desk, Measure(name="mug", capacity_ml=50.0, divisions=1, for_form=Form.SOLID))
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    planned = next(each for each in water_plan(desk, tub).steps if each.step.portion is not None)
    assert planned.step.portion is not None
    assert planned.step.portion.stock is not None
    book = caution_book()
    texts = {each.text for each in (*book.stock, *book.of(Compound.SODIUM_BISULFATE))}
    assert texts <= set(planned.cautions)


@pytest.mark.usefixtures("shelf")
def test_what_nobody_read_is_never_dosed_for(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {"ph": 8.1, "alkalinity_mg_l": 70.0})
    found = water_plan(desk, tub)
    assert {each.step.kind for each in found.steps} == {StepKind.ACID}
    assert [quantity.value for quantity in found.unread] == ["free_chlorine"]


def test_water_outside_its_ranges_is_never_called_fit_for_want_of_products(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    found = water_plan(desk, tub)
    assert not found.steps
    assert found.state is PlanState.OUT_OF_REACH


@pytest.mark.usefixtures("shelf")
@pytest.mark.parametrize(
    ("values", "hours", "state"),
    [
        ({**HIGH_PH_LOW_CHLORINE, "ice": 1.0}, 0, PlanState.FROZEN),
        (HIGH_PH_LOW_CHLORINE, 24 * 8, PlanState.TOO_OLD),
        ({}, 0, PlanState.NO_TEST),
        ({"ph": 9.9, "alkalinity_mg_l": 1.0, "free_chlorine_mg_l": 50.0}, 0, None),
        (
            {"ph": 7.4, "free_chlorine_mg_l": 2.0, "alkalinity_mg_l": 50.0, "hardness_mg_l": 60},
            0,
            PlanState.NOTHING_TO_DO,
        ),
    ],
)
def test_where_no_dose_can_be_worked_out_the_plan_says_why(
    desk: Desk,
    tub: TubId,
    clock: StillClock,
    values: dict[str, float],
    hours: int,
    state: PlanState | None,
) -> None:
    if values:
        add_readings(desk, tub, values)
    clock.go(hours=hours)
    found = water_plan(desk, tub)
    assert found.state is (state or PlanState.CONTRADICTION)
    assert not found.steps


@pytest.mark.usefixtures("shelf")
def test_an_expected_reading_tells_only_of_what_was_read_or_moves(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    told = set(water_plan(desk, tub).quantities)
    assert told == {Quantity.PH, Quantity.ALKALINITY, Quantity.FREE_CHLORINE}


def test_what_is_missing_on_the_shelf_is_told_in_its_own_unit(desk: Desk, tub: TubId) -> None:
    put_on_shelf(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    add_dose(desk, tub, "Bleach", 998.0)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "ph": 7.4})
    whole = water_plan(desk, tub).whole
    assert whole is not None
    (short,) = (each for each in whole.advice if each.kind is AdviceKind.STOCK_SHORT)
    assert short.unit == "ml"
    assert short.value == pytest.approx(3.8, abs=0.6)


def test_an_empty_shelf_says_what_it_lacks(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {"ph": 7.4, "free_chlorine_mg_l": 0.2, "alkalinity_mg_l": 50.0})
    found = water_plan(desk, tub)
    assert found.whole is not None
    assert AdviceKind.SHELF_LACKS in {each.kind for each in found.whole.advice}


@pytest.mark.usefixtures("shelf")
def test_too_much_cyanurate_calls_for_fresh_water_with_litres_and_cost(
    desk: Desk, tub: TubId
) -> None:
    change_setting(desk, WATER_PRICE, "5.00")
    put_source(desk, "Tap", TAP, tested_on=date(2026, 4, 1))
    choose_source(desk, tub, "tap")
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "ph": 7.4, "cyanurate_mg_l": 60.0})
    found = water_plan(desk, tub)
    first = found.steps[0]
    assert first.step.kind is StepKind.CHANGE_WATER
    assert any("drain" in text.casefold() for text in first.cautions)
    assert first.neutralise is not None
    agent = caution_book().of(first.neutralise.compound)
    assert {caution.text for caution in agent} <= set(first.cautions)
    # AWWA C655 (from memory): 1.5 to 3.5 mg of the pentahydrate for each mg of chlorine.
    chlorine_mg = 0.3 * first.step.change_l
    # Thiosulfate takes an equivalent and a half for each mole of chlorine: the pH only falls.
    assert first.drained_ph is not None
    assert 6.5 < first.drained_ph < 7.4
    assert first.neutralise.high_g == pytest.approx(3.5 * chlorine_mg / 1000)
    # 5.00 for 1000 L is half a cent for each litre.
    assert first.step.cost_minor == round(first.step.change_l * 0.5)
    do_step(desk, tub, 1)
    with desk.read() as connection:
        fill = connection.execute(table_of(FillRow).select()).one()
        entry = connection.execute(
            table_of(EntryRow).select().where(table_of(EntryRow).c.fill_id == fill.id)
        ).one()
    assert fill.litres == pytest.approx(first.step.change_l)
    assert entry.minor == first.step.cost_minor
    delete_fill(desk, fill.id)
    assert water_plan(desk, tub).steps[0].done is None
