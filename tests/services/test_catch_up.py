"""Catching up: many past days in one go, all or nothing, one undo."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tubcare.care.model import Status
from tubcare.errors import InputError, OutOfRangeError, RuleError
from tubcare.services.catch_up import (
    CatchUpError,
    CaughtUp,
    CellKey,
    LaterTickError,
    RowKey,
    SheetKind,
    Tick,
    catch_up,
    doubts,
)
from tubcare.services.catch_up_sheet import OnRecord, Sheet, SheetRow, catch_up_sheet
from tubcare.services.history import redo, undo, undoable
from tubcare.services.household import POWER_PRICE, WATER_PRICE, change_setting
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_meter_reading
from tubcare.services.upkeep_put_off import skip
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import EarlyWorkError
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.services.week import this_week
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId, TubId

# The clock of these tests stands at noon of 1 May 2026.
SECOND_DAY = [{"kind": "elapsed", "every": 2, "period": "day"}]


def april(day: int) -> date:
    return date(2026, 4, day)


def tick(tub: TubId, task: TaskId, on: date) -> CellKey:
    return CellKey(row=RowKey(kind=SheetKind.TASK, tub=tub, name=str(task)), on=on)


def cell(tub: TubId, kind: SheetKind, on: date, name: str = "") -> CellKey:
    return CellKey(row=RowKey(kind=kind, tub=tub, name=name), on=on)


def row(sheet: Sheet, kind: SheetKind, name: str) -> SheetRow:
    return next(r for r in sheet.rows if r.key.kind is kind and r.key.name == name)


def test_the_sheet_shows_seven_days_and_what_was_due_done_or_measured(desk: Desk) -> None:
    tub = add_tub(desk)
    due = add_task(desk, tub, starts_on=date(2026, 3, 29))
    later = add_task(desk, tub, title="Oil the bench", starts_on=april(20))
    add_readings(desk, tub, {"ph": 7.3}, on=april(27))
    add_dip(desk, tub, dips=2, on=april(26))
    add_dip(desk, tub, dips=3, on=april(26))
    sheet = catch_up_sheet(desk)
    assert (sheet.days[0], sheet.days[-1]) == (april(25), date(2026, 5, 1))
    assert row(sheet, SheetKind.TASK, str(due)).known == {april(28): OnRecord(status=Status.DUE)}
    assert not row(sheet, SheetKind.TASK, str(later)).expected
    assert row(sheet, SheetKind.READING, "ph").known == {april(27): OnRecord(value=7.3)}
    assert row(sheet, SheetKind.DIPS, "").known == {april(26): OnRecord(value=5.0)}


def test_the_week_before_can_be_shown_but_not_the_one_to_come(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub, starts_on=date(2026, 3, 20))
    tick_off(desk, task, f"start:{task}")
    skipped = add_task(desk, tub, title="Oil the bench", starts_on=date(2026, 3, 22))
    skip(desk, skipped, f"start:{skipped}", "rain")
    sheet = catch_up_sheet(desk, weeks_back=1)
    assert (sheet.days[0], sheet.days[-1]) == (april(18), april(24))
    # Closed today, it was due on 19 April.
    assert row(sheet, SheetKind.TASK, str(task)).known == {april(19): OnRecord(status=Status.DUE)}
    now = row(catch_up_sheet(desk), SheetKind.TASK, str(skipped)).known
    assert now == {date(2026, 5, 1): OnRecord(status=Status.SKIPPED)}
    with pytest.raises(OutOfRangeError):
        catch_up_sheet(desk, weeks_back=-1)


def test_a_week_is_written_in_one_go_and_taken_back_by_one_undo(desk: Desk) -> None:
    change_setting(desk, POWER_PRICE, "0.32")
    north, south = add_tub(desk, name="North"), add_tub(desk, name="South")
    task = add_task(desk, north, triggers=SECOND_DAY, starts_on=april(24), usual_minor=150)
    add_meter_reading(desk, south, MeterValue(counter="kwh", value_milli=100_000), on=april(20))
    before = facts(desk.store)
    written = catch_up(
        desk,
        {
            tick(north, task, april(26)): Tick.DONE,
            tick(north, task, april(28)): Tick.DONE,
            tick(north, task, april(30)): Tick.DONE,
            cell(north, SheetKind.READING, april(27), "ph"): 7.4,
            cell(south, SheetKind.READING, april(27), "ph"): 7.1,
            cell(south, SheetKind.DIPS, april(28)): 6,
            cell(south, SheetKind.METER, april(30), "kwh"): 160.5,
        },
    )
    assert written == CaughtUp(ticks=3, readings=2, dips=6, meters=1)
    after = facts(desk.store)
    assert [r["on_date"] for r in after["completion"]] == [april(26), april(28), april(30)]
    first, *others = (r["key"] for r in after["completion"])
    assert first == f"start:{task}"
    assert all(others)
    assert [(r["on_date"], r["dips"]) for r in after["dip"]] == [(april(28), 6)]
    # 60.5 kWh at 0.32 are 19.36.
    assert [r["minor"] for r in after["entry"] if r["kind"] == "power"] == [1936]
    assert_books_hold(desk.store)
    newest = undoable(desk)
    assert newest is not None
    assert (newest.label, newest.subject) == ("catch_up", "North, South")
    undo(desk)
    assert facts(desk.store) == before
    redo(desk)
    assert facts(desk.store) == after


def test_one_cell_that_cannot_be_used_keeps_all_from_being_written(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub, starts_on=april(10))
    before = facts(desk.store)
    early = tick(tub, task, april(27))
    ph = cell(tub, SheetKind.READING, april(27), "ph")
    half = cell(tub, SheetKind.DIPS, april(28))
    ahead = cell(tub, SheetKind.DIPS, date(2026, 5, 2))
    good = cell(tub, SheetKind.DIPS, april(29))
    with pytest.raises(CatchUpError) as told:
        catch_up(desk, {early: Tick.DONE, ph: 71.0, half: 1.5, ahead: 1, good: 2})
    assert {k: type(e) for k, e in told.value.faults.items()} == {
        early: EarlyWorkError,
        ph: OutOfRangeError,
        half: InputError,
        ahead: InputError,
    }
    assert facts(desk.store) == before


def test_early_work_restarts_the_clock_or_is_extra_as_the_person_says(desk: Desk) -> None:
    tub = add_tub(desk)
    restarted = add_task(desk, tub, starts_on=april(10))
    extra = add_task(desk, tub, title="Oil the bench", starts_on=april(10))
    catch_up(
        desk,
        {
            tick(tub, restarted, april(27)): Tick.RESTARTS,
            tick(tub, extra, april(27)): Tick.EXTRA,
        },
    )
    due = {i.task: i.occurrence.due_on for i in this_week(desk).later}
    assert due == {restarted: date(2026, 5, 27), extra: date(2026, 5, 10)}


def test_a_tick_before_a_later_one_is_extra_and_cannot_turn_the_clock_back(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    tick_off(desk, task, f"start:{task}")
    catch_up(desk, {tick(tub, task, april(28)): Tick.DONE})
    assert [r["key"] for r in facts(desk.store)["completion"]] == [f"start:{task}", None]
    with pytest.raises(CatchUpError) as told:
        catch_up(desk, {tick(tub, task, april(29)): Tick.RESTARTS})
    (error,) = told.value.faults.values()
    assert isinstance(error, LaterTickError)
    assert error.later == date(2026, 5, 1)


def test_a_reading_of_the_same_days_makes_due_what_the_tick_after_it_closes(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(
        desk, tub, title="Adjust the pH", triggers=[{"kind": "reading", "when": "ph > 7.6"}]
    )
    catch_up(
        desk,
        {
            tick(tub, task, april(28)): Tick.DONE,
            cell(tub, SheetKind.READING, april(27), "ph"): 7.9,
            cell(tub, SheetKind.READING, april(29), "ph"): 7.3,
        },
    )
    (done,) = facts(desk.store)["completion"]
    assert done["due_on"] == april(27)
    assert not this_week(desk).late


def test_a_meter_that_runs_back_is_refused_in_its_cell(desk: Desk, clock: StillClock) -> None:
    tub = add_tub(desk)
    add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=100_000), on=april(20))
    lower = cell(tub, SheetKind.METER, april(28), "kwh")
    with pytest.raises(CatchUpError) as told:
        catch_up(desk, {lower: 90.0})
    assert isinstance(told.value.faults[lower], RuleError)
    assert clock.now() == desk.now()


def test_water_topped_up_is_charged_and_shown_on_its_day(desk: Desk) -> None:
    change_setting(desk, WATER_PRICE, "4.00")
    tub = add_tub(desk)
    topped = cell(tub, SheetKind.READING, april(28), "top_up_l")
    catch_up(desk, {topped: 50.0, cell(tub, SheetKind.READING, april(28), "ph"): 7.3})
    # 50 litres at 4.00 for a cubic metre are 0.20.
    (entry,) = facts(desk.store)["entry"]
    assert (entry["kind"], entry["minor"], entry["on_date"]) == ("water", 20, april(28))
    shown = row(catch_up_sheet(desk), SheetKind.READING, "top_up_l").known
    assert shown == {april(28): OnRecord(value=50.0)}
    undo(desk)
    assert facts(desk.store)["fill"] == []


def test_readings_are_taken_in_the_units_of_the_kit(desk: Desk) -> None:
    tub = add_tub(desk)
    kit = tub_kit(desk, tub)
    change_kit(desk, tub, replace(kit, units={Dimension.ALKALINITY: Unit.MMOL_L}))
    catch_up(desk, {cell(tub, SheetKind.READING, april(28), "alkalinity_mg_l"): 1.6})
    (reading,) = facts(desk.store)["reading"]
    # Half of the molar mass of calcium carbonate, 100.09 g/mol (IUPAC, from memory).
    assert reading["value"] == pytest.approx(1.6 * 100.09 / 2, rel=1e-3)


def test_unlikely_readings_are_named_and_change_nothing(desk: Desk) -> None:
    tub = add_tub(desk)
    low = cell(tub, SheetKind.READING, april(28), "ph")
    before = facts(desk.store)
    asked = doubts(desk, {low: 5.9, cell(tub, SheetKind.DIPS, april(28)): 2})
    assert [(key, doubt.name) for key, doubt in asked.items()] == [(low, "ph")]
    assert doubts(desk, {low: 7.3}) == {}
    assert doubts(desk, {low: 71.0}) == {}
    assert facts(desk.store) == before


def test_nothing_to_write_is_refused(desk: Desk) -> None:
    with pytest.raises(InputError, match="at least one"):
        catch_up(desk, {})
