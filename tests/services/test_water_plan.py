"""The dosing plan through the services: worked out, ticked, taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tests.support.plans import add_tub
from tubcare.errors import InputError, OutOfRangeError, RuleError, StepDoneError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.history import redo, undo
from tubcare.services.household import WATER_PRICE, change_setting
from tubcare.services.measures import add_readings
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.removal import delete_fill
from tubcare.services.supplies import supplies
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import CutShort, PlanState
from tubcare.services.water_shelf import drop_measure, drop_product, put_measure, put_product
from tubcare.services.water_sources import choose_source, put_source
from tubcare.services.water_supplies import water_shelf
from tubcare.store.tables import EntryRow, FillRow, UseRow
from tubcare.store.unit import table_of
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.plan_model import AdviceKind, StepKind
from tubcare.water.products import Form, usual_product
from tubcare.water.ranges import Quantity
from tubcare.water.reading import WaterTest
from tubcare.water.strips import Source

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

BAD = {"ph": 8.1, "free_chlorine_mg_l": 0.3, "alkalinity_mg_l": 70.0, "water_c": 6.0}
TAP = WaterTest(water_c=10.0, ph=7.6, alkalinity_mg_l=45.0, calcium_mg_l=40.0)


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return add_tub(desk)


def put(desk: Desk, name: str, compound: Compound, *, minor: int = 1000) -> None:
    product = replace(usual_product(compound), name=name)
    put_product(desk, product)
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 4, 2),
            supply=name,
            unit=product.unit,
            category=SpendCategory.CHEMICALS,
            quantity_milli=1_000_000,
            minor=minor,
        ),
    )


@pytest.fixture
def shelf(desk: Desk) -> None:
    put(desk, "pH minus", Compound.SODIUM_BISULFATE)
    put(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    put_measure(desk, Measure(name="scoop", capacity_ml=2.5, for_form=Form.SOLID))


@pytest.mark.usefixtures("shelf")
def test_a_bad_test_gives_numbered_steps_with_amounts_cautions_waits_and_expectations(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, BAD)
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
    add_readings(desk, tub, BAD)
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
    put(desk, "pH minus", Compound.SODIUM_BISULFATE)
    put_measure(desk, Measure(name="mug", capacity_ml=50.0, divisions=1, for_form=Form.SOLID))
    add_readings(desk, tub, BAD)
    planned = next(each for each in water_plan(desk, tub).steps if each.step.portion is not None)
    assert planned.step.portion is not None
    assert planned.step.portion.stock is not None
    book = caution_book()
    texts = {each.text for each in (*book.stock, *book.of(Compound.SODIUM_BISULFATE))}
    assert texts <= set(planned.cautions)


@pytest.mark.usefixtures("shelf")
def test_a_tick_records_the_dose_uses_stock_and_costs_in_one_action(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, BAD)
    before = facts(desk.store)
    planned = do_step(desk, tub, 1).planned
    assert planned.step.portion is not None
    left = {each.name: each.quantity_milli for each in supplies(desk)}
    assert left["pH minus"] == 1_000_000 - round(planned.step.portion.amount * 1000)
    with desk.read() as connection:
        use = connection.execute(table_of(UseRow).select()).one()
    assert use.cost_minor == pytest.approx(planned.step.portion.amount, abs=0.5)
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before
    redo(desk)
    assert water_plan(desk, tub).steps[0].done is not None


@pytest.mark.usefixtures("shelf")
def test_a_step_in_the_wait_of_the_one_before_is_recorded_with_the_end_of_that_wait(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    first = do_step(desk, tub, 1)
    assert first.cut_short is None
    ready_at = desk.now() + timedelta(minutes=first.planned.step.wait_min)
    clock.go(hours=0.1)
    second = do_step(desk, tub, 2)
    assert second.cut_short == CutShort(after=1, until=ready_at, is_over=False)
    assert water_plan(desk, tub).steps[1].done is not None


@pytest.mark.usefixtures("shelf")
def test_a_wait_that_is_over_is_told_only_where_the_time_of_the_step_was(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    do_step(desk, tub, 1)
    zone = ZoneInfo(water_plan(desk, tub).tub.zone)
    soon = (desk.now() + timedelta(minutes=5)).astimezone(zone)
    clock.go(hours=30)
    told = do_step(desk, tub, 2, on=soon.date(), at=soon.time())
    assert told.cut_short is not None
    assert told.cut_short.is_over
    undo(desk)
    assert do_step(desk, tub, 2, on=soon.date()).cut_short is None


@pytest.mark.usefixtures("shelf")
def test_the_plan_stays_while_its_steps_are_ticked_one_after_the_other(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    plan = water_plan(desk, tub)
    with pytest.raises(RuleError, match="step 1 comes first"):
        do_step(desk, tub, 2)
    for each in plan.steps:
        do_step(desk, tub, each.number, test_at=plan.test_at)
        clock.go(hours=1.5)
    done = water_plan(desk, tub)
    assert [each.step.portion for each in done.steps] == [e.step.portion for e in plan.steps]
    assert done.next_step is None
    with pytest.raises(StepDoneError) as told:
        do_step(desk, tub, 1)
    assert told.value.who == desk.actor


@pytest.mark.usefixtures("shelf")
def test_a_tick_starts_the_wait_before_the_next_step_and_before_a_new_test(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    planned = do_step(desk, tub, 1).planned
    found = water_plan(desk, tub)
    assert found.next_at == clock.now() + timedelta(minutes=planned.step.wait_min)
    assert found.retest_at == clock.now() + timedelta(minutes=planned.step.retest_min)
    assert water_now(desk, tub).wait_until == found.retest_at


@pytest.mark.usefixtures("shelf")
def test_a_step_of_yesterday_counts_its_waits_from_the_hour_it_was_done(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    clock.go(days=1)
    planned = do_step(desk, tub, 1, on=date(2026, 5, 1), at=time(18, 30)).planned
    done = water_plan(desk, tub).steps[0].done
    assert done is not None
    # Half past six in Helsinki, in summer three hours ahead of UTC.
    assert done.at == datetime(2026, 5, 1, 15, 30, tzinfo=UTC)
    assert done.ready_at - done.at == timedelta(minutes=planned.step.wait_min)
    assert water_now(desk, tub).wait_until is None
    uses = [row["on_date"] for row in facts(desk.store)["stock_use"]]
    assert uses == [date(2026, 5, 1)]


@pytest.mark.usefixtures("shelf")
def test_a_step_without_an_hour_comes_right_after_what_came_before(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    clock.go(hours=3)
    add_readings(desk, tub, BAD)
    tested = clock.now()
    clock.go(days=1)
    do_step(desk, tub, 1, on=date(2026, 5, 1))
    do_step(desk, tub, 2, on=date(2026, 5, 1))
    done = [each.done.at for each in water_plan(desk, tub).steps if each.done is not None]
    assert done == [tested, tested]


@pytest.mark.usefixtures("shelf")
@pytest.mark.parametrize(
    ("on", "at", "why"),
    [
        (date(2026, 4, 30), None, "before the test"),
        (date(2026, 5, 1), time(7), "before the test"),
        (date(2026, 5, 3), None, "yet to come"),
        (None, time(23, 59), "yet to come"),
    ],
)
def test_a_step_is_refused_before_its_test_and_ahead_of_time(
    desk: Desk, tub: TubId, clock: StillClock, on: date | None, at: time | None, why: str
) -> None:
    add_readings(desk, tub, BAD)
    clock.go(days=1)
    before = facts(desk.store)
    with pytest.raises(InputError, match=why):
        do_step(desk, tub, 1, on=on, at=at)
    assert facts(desk.store) == before


@pytest.mark.usefixtures("shelf")
def test_a_newer_test_makes_a_new_plan_and_refuses_ticks_of_the_old_one(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    old = water_plan(desk, tub).test_at
    clock.go(hours=5)
    add_readings(desk, tub, {**BAD, "ph": 7.9})
    with pytest.raises(RuleError, match="newer test"):
        do_step(desk, tub, 1, test_at=old)
    assert all(each.done is None for each in water_plan(desk, tub).steps)


@pytest.mark.usefixtures("shelf")
def test_what_nobody_read_is_never_dosed_for(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {"ph": 8.1, "alkalinity_mg_l": 70.0})
    found = water_plan(desk, tub)
    assert {each.step.kind for each in found.steps} == {StepKind.ACID}
    assert [quantity.value for quantity in found.unread] == ["free_chlorine"]


def test_water_outside_its_ranges_is_never_called_fit_for_want_of_products(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, BAD)
    found = water_plan(desk, tub)
    assert not found.steps
    assert found.state is PlanState.OUT_OF_REACH


@pytest.mark.usefixtures("shelf")
@pytest.mark.parametrize(
    ("values", "hours", "state"),
    [
        ({**BAD, "ice": 1.0}, 0, PlanState.FROZEN),
        (BAD, 24 * 8, PlanState.TOO_OLD),
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


def test_a_plan_stands_while_its_steps_take_days(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    """The thermometer of the test goes on to count, though it is older than a day by then."""
    put(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    warm = {"ph": 6.8, "free_chlorine_mg_l": 0.2, "alkalinity_mg_l": 78.0, "water_c": 12.0}
    add_readings(desk, tub, warm)
    before = [each.step for each in water_plan(desk, tub).steps]
    assert [step.kind for step in before] == [StepKind.SANITISER, StepKind.AERATE]
    do_step(desk, tub, 1)
    clock.go(days=2)
    assert [each.step for each in water_plan(desk, tub).steps] == before


def test_a_change_of_all_water_leaves_the_plan_that_it_is_a_step_of(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_source(desk, "Tap", TAP, tested_on=date(2026, 4, 1))
    choose_source(desk, tub, "Tap")
    put(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    add_readings(desk, tub, {**BAD, "cyanurate_mg_l": 200.0})
    before = [each.step for each in water_plan(desk, tub).steps]
    assert before[0].change_l > 360.0
    clock.go(days=1)
    do_step(desk, tub, 1)
    assert [each.step for each in water_plan(desk, tub).steps] == before


@pytest.mark.usefixtures("shelf")
def test_an_expected_reading_tells_only_of_what_was_read_or_moves(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, BAD)
    told = set(water_plan(desk, tub).quantities)
    assert told == {Quantity.PH, Quantity.ALKALINITY, Quantity.FREE_CHLORINE}


def test_what_is_missing_on_the_shelf_is_told_in_its_own_unit(desk: Desk, tub: TubId) -> None:
    put(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    add_dose(desk, tub, "Bleach", 998.0)
    add_readings(desk, tub, {**BAD, "ph": 7.4})
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
    add_readings(desk, tub, {**BAD, "ph": 7.4, "cyanurate_mg_l": 60.0})
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


def test_bleach_is_taken_for_weaker_as_it_ages(desk: Desk, clock: StillClock) -> None:
    bleach = replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach")
    put_product(desk, bleach, filled_on=date(2026, 5, 1), storage_c=20.0)
    clock.go(days=90)
    shelf = water_shelf(desk)
    product, left = shelf.products[0].on(shelf.today)
    assert left is not None
    # Adam & Gordon 1999: 12.5 % trade loses 19 % in 90 days at 20 °C.
    assert left.share == pytest.approx(0.81, abs=0.01)
    assert product.strength == pytest.approx(12.5 * left.share)


def test_a_label_on_a_supply_counted_otherwise_is_refused(desk: Desk) -> None:
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 4, 2),
            supply="Tablets",
            unit="piece",
            category=SpendCategory.CHEMICALS,
            quantity_milli=1000,
            minor=100,
        ),
    )
    with pytest.raises(InputError, match="piece"):
        put_product(desk, replace(usual_product(Compound.TRICHLOR), name="Tablets"))


@pytest.mark.usefixtures("shelf")
def test_products_and_scoops_leave_the_shelf_and_come_back_by_undo(desk: Desk) -> None:
    found = water_shelf(desk)
    drop_product(desk, found.products[0].supply)
    drop_measure(desk, "Scoop")
    assert len(water_shelf(desk).products) == 1
    assert not water_shelf(desk).measures
    undo(desk)
    undo(desk)
    assert water_shelf(desk) == found


@pytest.mark.usefixtures("shelf")
def test_a_dose_outside_the_plan_uses_stock_and_unsettles_the_plan(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    clock.go(hours=1)
    before = facts(desk.store)
    dosed = add_dose(desk, tub, "bleach", 20.0)
    assert dosed.wait_until == clock.now() + timedelta(hours=1)
    left = {each.name: each.quantity_milli for each in supplies(desk)}
    assert left["Bleach"] == 980_000
    assert water_plan(desk, tub).other_doses == ("Bleach",)
    assert water_now(desk, tub).wait_until == dosed.wait_until
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before
    with pytest.raises(OutOfRangeError):
        add_dose(desk, tub, "Bleach", -1.0)
