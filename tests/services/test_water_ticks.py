"""Ticking off work that doses: the worked-out dose is its work, and a step its tick."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select

from tests.support.books import assert_books_hold
from tests.support.dosing import HIGH_PH, due
from tests.support.dump import facts
from tubcare.errors import RuleError
from tubcare.services.amending import amend_completion
from tubcare.services.history import undo
from tubcare.services.measures import add_readings
from tubcare.services.supplies import supplies
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.water_do import do_step
from tubcare.services.water_plan import water_plan
from tubcare.store.tables import CompletionRow, DoseRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TaskId, TubId


def test_work_that_put_a_dose_into_the_water_stays_on_its_day(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, HIGH_PH)
    ticked = tick_off(desk, correct, due(desk)[correct].occurrence.key)
    assert ticked.completion is not None
    before = facts(desk.store)
    with pytest.raises(RuleError, match=r"a dose .* delete this record"):
        amend_completion(desk, ticked.completion, Work(on=ticked.on - timedelta(days=1)))
    assert facts(desk.store) == before


def test_a_tick_in_this_week_records_the_worked_out_dose_and_not_the_usual_one(
    desk: Desk, tub: TubId, correct: TaskId, acid: SupplyId
) -> None:
    add_readings(desk, tub, HIGH_PH)
    item = due(desk)[correct]
    grams = sum(step.portion.amount for step in item.to_add if step.portion is not None)
    before = facts(desk.store)
    ticked = tick_off(desk, correct, item.occurrence.key)
    assert ticked.uses[acid] == pytest.approx(grams * 1000, abs=2)
    assert supplies(desk)[0].quantity_milli == 1_000_000 - ticked.uses[acid]
    with desk.read() as connection:
        doses = connection.execute(table_of(DoseRow).select()).all()
        uses = connection.execute(table_of(UseRow).select()).all()
    assert {row.completion_id for row in (*doses, *uses)} == {ticked.completion}
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before


@pytest.mark.usefixtures("retest")
def test_the_last_step_that_a_task_asks_for_ticks_it_off_once(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, HIGH_PH)
    numbers = [each.number for each in water_plan(desk, tub).steps]
    table = table_of(CompletionRow)
    for number in numbers[:-1]:
        do_step(desk, tub, number)
    with desk.read() as connection:
        assert connection.execute(table.select()).first() is None
    assert len(numbers) > 1
    do_step(desk, tub, numbers[-1])
    with desk.read() as connection:
        rows = connection.execute(table.select()).all()
    assert [row.task_id for row in rows] == [correct]


def test_a_single_step_ticks_off_its_task_with_the_dose_as_its_work(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, {**HIGH_PH, "ph": 7.9})
    assert len(water_plan(desk, tub).steps) == 1
    assert correct in due(desk)
    do_step(desk, tub, 1)
    with desk.read() as connection:
        done = connection.execute(table_of(CompletionRow).select()).one()
        dose = connection.execute(table_of(DoseRow).select()).one()
    assert done.task_id == correct
    assert dose.completion_id == done.id


def test_a_step_dated_back_dates_its_task_back(
    desk: Desk, tub: TubId, correct: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, {**HIGH_PH, "ph": 7.9})
    clock.go(days=2)
    do_step(desk, tub, 1, on=date(2026, 5, 2))
    with desk.read() as connection:
        done = connection.execute(table_of(CompletionRow).select()).one()
    assert (done.task_id, done.on_date) == (correct, date(2026, 5, 2))
    assert correct not in due(desk)


@pytest.mark.parametrize(("on", "doses"), [(date(2026, 5, 2), 1), (date(2026, 4, 30), 0)])
def test_a_tick_of_an_earlier_day_records_the_worked_out_dose_unless_it_is_before_the_test(
    desk: Desk, tub: TubId, correct: TaskId, clock: StillClock, on: date, doses: int
) -> None:
    add_readings(desk, tub, {**HIGH_PH, "ph": 7.9})
    clock.go(days=2)
    tick_off(desk, correct, due(desk)[correct].occurrence.key, Work(on=on))
    with desk.read() as connection:
        found = connection.execute(table_of(DoseRow).select()).all()
        used = connection.execute(table_of(UseRow).select()).all()
    assert [row.on_date for row in found] == [on] * doses
    assert [row.on_date for row in used] == [on]


def test_a_tick_for_which_nothing_was_worked_out_takes_nothing_usual(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    """A low pH with only acid on the shelf: its usual 5 g must not count as added."""
    add_readings(desk, tub, {**HIGH_PH, "ph": 6.4, "alkalinity_mg_l": 12.0})
    item = due(desk)[correct]
    assert item.to_add == ()
    tick_off(desk, correct, item.occurrence.key)
    with desk.read() as connection:
        assert connection.execute(select(table_of(UseRow))).all() == []
