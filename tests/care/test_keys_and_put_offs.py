"""Occurrence keys, work done early, put-offs and skips."""

from __future__ import annotations

import pytest

from tests.care.builders import (
    SUMMER,
    day,
    done,
    due,
    every,
    open_one,
    reading,
    rule,
    skipped,
    states,
    task,
    tub,
)
from tubcare.care.model import (
    Counter,
    CounterState,
    Period,
    PutOff,
    Range,
    ReadingTrigger,
    Scope,
    Status,
    TaskFacts,
    TubState,
    UseTrigger,
    parse_condition,
)
from tubcare.care.occurrences import closes_coming

OPEN = tub()
SUNDAYS = rule("FREQ=WEEKLY;BYDAY=SU", "2026-01-01")
PH = ReadingTrigger(condition=parse_condition("ph outside range"))
RANGES = {"ph": Range(low=7.2, high=7.6)}


def _moved(key: str, to: str, made_on: str) -> PutOff:
    return PutOff(key=key, to=day(to), made_on=day(made_on))


# --- keys


def test_a_key_names_the_fact_that_opened_the_occurrence() -> None:
    each = task(every(30), scope=Scope.IN_SEASON, starts_on="2026-04-01")
    opened = tub(("2026-04-15", TubState.OPEN), plan=SUMMER)
    assert open_one(each, None, OPEN, "2026-04-02").key == "start:1"
    assert open_one(each, None, opened, "2026-05-20").key == "open:1"
    assert open_one(each, done("2026-05-20", number=7), opened, "2026-05-21").key == "done:7"


def test_a_task_with_calendar_dates_alone_adds_the_date() -> None:
    found = open_one(task(SUNDAYS), done("2026-05-03", number=7), OPEN, "2026-05-04")
    assert found.key == "done:7@2026-05-10"


def test_a_key_is_the_same_whichever_trigger_is_earliest() -> None:
    both = task(SUNDAYS, every(3), PH)
    facts = done("2026-05-03", number=7)
    off = tub(readings=(reading("ph", 7.9, "2026-05-04"),), ranges=RANGES)
    keys = {
        open_one(both, facts, OPEN, "2026-05-04").key,
        open_one(both, facts, off, "2026-05-04").key,
        open_one(both, facts, OPEN, "2026-05-12").key,
    }
    assert keys == {"done:7"}


def test_a_second_bad_reading_of_another_day_is_another_occurrence() -> None:
    first = tub(readings=(reading("ph", 7.9, "2026-05-04"),), ranges=RANGES)
    second = tub(readings=(reading("ph", 8.0, "2026-05-20"),), ranges=RANGES)
    assert open_one(task(PH), None, first, "2026-05-04").key == "start:1@2026-05-04"
    assert open_one(task(PH), None, second, "2026-05-20").key == "start:1@2026-05-20"


def test_taking_back_a_tick_brings_the_old_key_back() -> None:
    before = done("2026-05-03", number=7)
    old = open_one(task(every(7)), before, OPEN, "2026-05-10")
    ticked = open_one(task(every(7)), done("2026-05-10", number=8), OPEN, "2026-05-10")
    assert ticked.key != old.key
    assert open_one(task(every(7)), before, OPEN, "2026-05-10") == old


# --- early work


@pytest.mark.parametrize(("on", "closes"), [("2026-05-27", False), ("2026-05-28", True)])
def test_early_work_inside_the_window_closes_the_coming_occurrence(on: str, closes: bool) -> None:
    coming = open_one(task(every(30)), done("2026-05-01"), OPEN, on)
    assert coming.due_on == day("2026-05-31")
    assert closes_coming(coming, day(on)) is closes


def test_a_tick_closes_however_early_and_the_date_does_not_come_again() -> None:
    facts = done("2026-05-04", due="2026-05-10", key="start:1@2026-05-10")
    assert due(task(SUNDAYS), facts, OPEN, "2026-05-10") == day("2026-05-17")


def test_work_entered_later_closes_what_was_open_on_its_day() -> None:
    # Entered on 26 May, done on the 11th: the date of the 10th, not the newest one, the 24th.
    facts = done("2026-05-03", number=7)
    then = open_one(task(SUNDAYS), facts, OPEN, "2026-05-11")
    assert then.key == "done:7@2026-05-10"
    entered = done("2026-05-11", due="2026-05-10", number=8, key=then.key)
    assert due(task(SUNDAYS), entered, OPEN, "2026-05-26") == day("2026-05-24")


# --- put off


def test_a_put_off_moves_the_date_and_its_window_and_keeps_the_key() -> None:
    plain = open_one(task(every(30)), done("2026-05-01"), OPEN, "2026-05-31")
    moves = (_moved("done:1", "2026-06-10", "2026-05-31"),)
    found = open_one(task(every(30)), done("2026-05-01", put_offs=moves), OPEN, "2026-06-13")
    assert found.key == plain.key
    assert found.due_on == day("2026-06-10")
    assert found.late_after == day("2026-06-13")
    assert found.status is Status.DUE
    assert (found.put_offs, found.put_off_from) == (1, plain.due_on)


def test_put_offs_in_a_row_are_counted_and_the_newest_holds() -> None:
    moves = (
        _moved("done:1", "2026-06-05", "2026-05-31"),
        _moved("done:1", "2026-06-12", "2026-06-05"),
    )
    found = open_one(task(every(30)), done("2026-05-01", put_offs=moves), OPEN, "2026-06-06")
    assert (found.due_on, found.put_offs) == (day("2026-06-12"), 2)


def test_a_put_off_of_an_earlier_occurrence_is_over() -> None:
    moves = (_moved("start:1", "2026-08-01", "2026-04-01"),)
    found = open_one(task(every(30)), done("2026-05-01", put_offs=moves), OPEN, "2026-05-02")
    assert (found.due_on, found.put_offs) == (day("2026-05-31"), 0)


def test_after_a_put_off_the_rule_stands() -> None:
    # The date of the 10th was put off to the 20th and done early, on the 12th.
    facts = done("2026-05-12", due="2026-05-20", key="start:1@2026-05-10")
    assert due(task(SUNDAYS), facts, OPEN, "2026-05-13") == day("2026-05-17")


def test_a_newer_calendar_date_ends_a_put_off() -> None:
    moves = (_moved("done:1@2026-05-10", "2026-05-25", "2026-05-10"),)
    facts = done("2026-05-03", put_offs=moves)
    assert due(task(SUNDAYS), facts, OPEN, "2026-05-16") == day("2026-05-25")
    assert due(task(SUNDAYS), facts, OPEN, "2026-05-17") == day("2026-05-17")


@pytest.mark.parametrize(
    ("today", "expected"), [("2026-05-16", "2026-05-25"), ("2026-05-17", "2026-05-10")]
)
def test_a_newer_calendar_date_ends_a_put_off_beside_other_triggers(
    today: str, expected: str
) -> None:
    # Due every 7 days (10 May) or on the 17th of the month; put off on the 10th.
    both = task(every(7), rule("FREQ=MONTHLY;BYMONTHDAY=17"))
    moves = (_moved("done:1", "2026-05-25", "2026-05-10"),)
    assert due(both, done("2026-05-03", put_offs=moves), OPEN, today) == day(expected)


def test_a_put_off_of_a_coming_calendar_date_outlives_that_date() -> None:
    both = task(every(1, Period.MONTH), SUNDAYS)
    moves = (_moved("done:1", "2026-05-14", "2026-05-08"),)
    facts = done("2026-05-03", put_offs=moves)
    assert due(both, facts, OPEN, "2026-05-12") == day("2026-05-14")
    assert due(both, facts, OPEN, "2026-05-17") == day("2026-05-17")


def test_a_put_off_never_overrules_a_reading() -> None:
    both = task(every(30), PH)
    moves = (_moved("done:1", "2026-06-10", "2026-05-31"),)
    facts = done("2026-05-01", put_offs=moves)
    off = tub(readings=(reading("ph", 7.9, "2026-06-02"),), ranges=RANGES)
    assert due(both, facts, OPEN, "2026-06-02") == day("2026-06-10")
    assert due(both, facts, off, "2026-06-02") == day("2026-06-02")
    alone = TaskFacts(put_offs=(_moved("start:1@2026-06-02", "2026-06-10", "2026-06-02"),))
    assert due(task(PH), alone, off, "2026-06-02") == day("2026-06-02")


# --- skips


def test_an_interval_runs_on_from_the_date_that_was_skipped() -> None:
    facts = skipped("2026-05-28", due="2026-05-31")
    assert due(task(every(30)), facts, OPEN, "2026-05-28") == day("2026-06-30")


def test_a_skip_long_after_its_date_does_not_leave_it_late_again() -> None:
    facts = skipped("2026-05-30", due="2026-05-01")
    assert due(task(every(7)), facts, OPEN, "2026-05-30") == day("2026-06-05")


def test_use_runs_on_from_the_counter_at_the_skip() -> None:
    dipped = tub(
        counters={Counter.DIP: CounterState(now=150, daily_rate=2, as_of=day("2026-06-01"))}
    )
    facts = skipped("2026-06-01", due="2026-05-20", counters={Counter.DIP: 150})
    each = task(UseTrigger(counter=Counter.DIP, amount=40))
    assert due(each, facts, dipped, "2026-06-01") == day("2026-06-21")


def test_a_skipped_calendar_date_leaves_the_rule_as_it_was() -> None:
    facts = skipped("2026-05-09", due="2026-05-10")
    assert due(task(SUNDAYS), facts, OPEN, "2026-05-09") == day("2026-05-17")


# --- editing the season


def test_editing_the_date_of_an_opening_keeps_the_key() -> None:
    each = task(every(30), scope=Scope.IN_SEASON, starts_on="2026-01-01")
    first = tub(("2026-04-15", TubState.OPEN), plan=SUMMER)
    edited = tub(("2026-04-18", TubState.OPEN), plan=SUMMER)
    assert states(("2026-04-15", TubState.OPEN))[0].id == 1
    before = open_one(each, None, first, "2026-05-01")
    after = open_one(each, None, edited, "2026-05-01")
    assert before.key == after.key == "open:1"
    assert (before.due_on, after.due_on) == (day("2026-05-15"), day("2026-05-18"))
