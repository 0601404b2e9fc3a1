"""The plan rolled forward, and the preview of a trigger."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.care.builders import SUMMER, day, days, done, every, reading, rule, task, tub
from tubcare.care.forecast import forecast
from tubcare.care.model import (
    Counter,
    CounterState,
    Edge,
    OnceTrigger,
    OutOfScope,
    Period,
    Range,
    ReadingTrigger,
    Scope,
    SeasonTrigger,
    Status,
    Task,
    TaskFacts,
    TubFacts,
    TubState,
    UseTrigger,
    parse_condition,
)

if TYPE_CHECKING:
    from datetime import date

OPEN = tub()
OPENED = tub(("2026-04-20", TubState.OPEN), plan=SUMMER)


def _dates(
    each: Task, facts: TaskFacts | None, of: TubFacts, today: str, until: str
) -> tuple[date, ...]:
    known = {} if facts is None else {each.id: facts}
    found = forecast([each], known, {of.tub_id: of}, day(today), day(until))
    return tuple(occurrence.due_on for occurrence in found)


def test_each_occurrence_is_assumed_done_on_its_date() -> None:
    found = _dates(task(every(30)), done("2026-05-01"), OPEN, "2026-05-10", "2026-08-01")
    assert found == days("2026-05-31", "2026-06-30", "2026-07-30")


def test_what_is_behind_is_assumed_done_today() -> None:
    found = _dates(task(every(30)), done("2026-05-01"), OPEN, "2026-06-10", "2026-08-01")
    assert found == days("2026-05-31", "2026-07-10")


def test_months_do_not_drift_over_a_forecast() -> None:
    found = _dates(
        task(every(1, Period.MONTH)), done("2025-12-31"), OPEN, "2026-01-01", "2026-05-31"
    )
    assert found == days("2026-01-31", "2026-02-28", "2026-03-31", "2026-04-30", "2026-05-31")


def test_a_forecast_follows_the_planned_seasons() -> None:
    each = task(
        every(1, Period.MONTH), scope=Scope.IN_SEASON, out_of_scope=OutOfScope.MOVE_TO_START
    )
    found = _dates(each, done("2026-08-20"), OPENED, "2026-09-01", "2027-06-30")
    assert found == days("2026-09-20", "2026-10-20", "2027-05-15", "2027-06-15")


def test_calendar_dates_outside_the_season_are_left_out_of_a_forecast() -> None:
    each = task(
        rule("FREQ=MONTHLY;BYMONTHDAY=1"), scope=Scope.IN_SEASON, out_of_scope=OutOfScope.SKIP
    )
    found = _dates(each, done("2026-09-01"), OPENED, "2026-09-02", "2027-06-15")
    assert found == days("2026-10-01", "2027-05-01", "2027-06-01")


def test_season_work_comes_once_a_year() -> None:
    each = task(SeasonTrigger(edge=Edge.CLOSING, offset_days=-7), starts_on="2026-05-01")
    found = _dates(each, None, OPENED, "2026-06-01", "2029-01-01")
    assert found == days("2026-10-24", "2027-10-24", "2028-10-24")


def test_use_goes_on_at_its_recent_rate_and_is_about() -> None:
    state = CounterState(now=100, daily_rate=2, as_of=day("2026-06-01"))
    dipped = tub(counters={Counter.DIP: state})
    each = task(UseTrigger(counter=Counter.DIP, amount=40))
    facts = {each.id: done("2026-06-01", counters={Counter.DIP: 100})}
    found = forecast([each], facts, {OPEN.tub_id: dipped}, day("2026-06-01"), day("2026-07-31"))
    assert [o.due_on for o in found] == list(days("2026-06-21", "2026-07-11", "2026-07-31"))
    assert all(o.about for o in found)


def test_readings_cannot_be_foreseen() -> None:
    trigger = ReadingTrigger(condition=parse_condition("ph outside range"))
    off = tub(
        readings=(reading("ph", 7.9, "2026-05-04"),), ranges={"ph": Range(low=7.2, high=7.6)}
    )
    found = _dates(task(trigger), None, off, "2026-05-04", "2026-12-31")
    assert found == days("2026-05-04")


def test_a_single_date_comes_once() -> None:
    found = _dates(task(OnceTrigger(on=day("2026-06-01"))), None, OPEN, "2026-05-01", "2030-01-01")
    assert found == days("2026-06-01")


def test_what_lies_ahead_is_coming_and_the_list_is_in_order() -> None:
    tasks = [task(every(3), number=2), task(every(4), number=1)]
    found = forecast(tasks, {}, {OPEN.tub_id: OPEN}, day("2026-01-01"), day("2026-02-01"))
    assert [o.due_on for o in found] == sorted(o.due_on for o in found)
    assert {o.status for o in found} == {Status.COMING}


def test_a_daily_task_comes_once_a_day() -> None:
    found = _dates(task(rule("FREQ=DAILY")), done("2026-05-01"), OPEN, "2026-05-01", "2026-05-31")
    assert len(found) == 30


# --- the preview of a trigger
