"""Scopes, seasons and the states of a tub, in both hemispheres."""

from __future__ import annotations

import pytest

from tests.care.builders import (
    OPENED_2025,
    OPENED_2026,
    REOPENED,
    SUMMER,
    WINTER,
    WINTERED,
    day,
    days,
    done,
    due,
    every,
    open_one,
    rule,
    task,
    tub,
)
from tubcare.care.model import (
    Category,
    Edge,
    ElapsedReason,
    OutOfScope,
    Period,
    RuleReason,
    Scope,
    SeasonPlan,
    SeasonTrigger,
    Status,
    TubState,
)
from tubcare.care.occurrences import occurrence
from tubcare.values import MonthDay

IN, CLOSED_SEASON = Scope.IN_SEASON, Scope.CLOSED_SEASON
STOP, MOVE, SKIP = OutOfScope.STOP_CLOCK, OutOfScope.MOVE_TO_START, OutOfScope.SKIP
SUNDAYS = rule("FREQ=WEEKLY;BYDAY=SU", "2025-01-01")


# --- asleep and awake


def test_an_in_season_task_sleeps_while_the_tub_is_closed() -> None:
    weekly = task(every(7), scope=IN)
    assert open_one(weekly, done("2025-10-28"), WINTERED, "2026-01-10").status is Status.ASLEEP


def test_a_closed_season_task_sleeps_while_the_tub_is_open() -> None:
    visit = task(every(1, Period.MONTH), scope=CLOSED_SEASON, starts_on="2025-01-01")
    assert open_one(visit, None, REOPENED, "2026-06-01").status is Status.ASLEEP
    assert open_one(visit, None, WINTERED, "2025-12-05").status is Status.LATE


@pytest.mark.parametrize("state", [TubState.CLOSED, TubState.PAUSED, TubState.OUT_OF_ORDER])
def test_an_always_task_is_awake_in_every_state(state: TubState) -> None:
    found = open_one(task(every(7)), done("2026-05-01"), tub(("2026-05-02", state)), "2026-05-08")
    assert found.status is Status.DUE


@pytest.mark.parametrize(
    ("state", "status"),
    [
        (TubState.OPEN, Status.DUE),
        (TubState.CHILLER_RESTING, Status.DUE),
        (TubState.PAUSED, Status.ASLEEP),
        (TubState.OUT_OF_ORDER, Status.ASLEEP),
        (TubState.CLOSED, Status.ASLEEP),
    ],
)
def test_in_season_tasks_follow_the_state_of_the_tub(state: TubState, status: Status) -> None:
    now = tub(("2026-04-20", TubState.OPEN), ("2026-05-08", state), plan=SUMMER)
    found = open_one(task(every(7), scope=IN), done("2026-05-01"), now, "2026-05-08")
    assert found.status is status


def test_upkeep_of_the_chiller_sleeps_while_the_chiller_rests() -> None:
    resting = tub(OPENED_2026, ("2026-05-05", TubState.CHILLER_RESTING), plan=SUMMER)
    coil = task(every(7), scope=IN, category=Category.CHILLER)
    guard = task(every(7), scope=IN, category=Category.CHILLER, safety=True)
    assert open_one(coil, done("2026-05-01"), resting, "2026-05-08").status is Status.ASLEEP
    assert open_one(guard, done("2026-05-01"), resting, "2026-05-08").status is Status.DUE


def test_a_retired_tub_has_nothing_due() -> None:
    gone = tub(OPENED_2025, ("2026-02-01", TubState.RETIRED), plan=SUMMER)
    assert occurrence(task(every(7)), None, gone, day("2026-02-01")) is None
    assert occurrence(task(every(7)), None, gone, day("2026-01-31")) is not None


# --- what the clock does outside the scope


def test_a_stopped_clock_counts_days_in_season_alone() -> None:
    monthly = task(every(30), scope=IN, out_of_scope=STOP)
    # 20 October: ten days pass up to the last open day, the 30th; the 20th live day of the next
    # season, which began on 20 April, is 9 May.
    found = open_one(monthly, done("2025-10-20"), REOPENED, "2026-05-01")
    assert found.due_on == day("2026-05-09")
    assert isinstance(found.reason, ElapsedReason)
    assert found.reason.paused_days == (day("2026-05-09") - day("2025-11-19")).days


def test_a_clock_that_moves_starts_with_the_season() -> None:
    monthly = task(every(30), scope=IN, out_of_scope=MOVE)
    found = open_one(monthly, done("2025-10-20"), REOPENED, "2026-05-01")
    assert found.due_on == day("2026-05-20")
    assert isinstance(found.reason, ElapsedReason)
    assert found.reason.since_opening
    assert found.key == "open:3"


def test_dates_that_are_skipped_fall_away() -> None:
    monthly = task(every(30), scope=IN, out_of_scope=SKIP)
    # 20 October plus 30 days again and again: 19 November .. 18 April, 18 May.
    assert due(monthly, done("2025-10-20"), REOPENED, "2026-05-01") == day("2026-05-18")


def test_an_interval_longer_than_the_season_comes_round_all_the_same() -> None:
    yearly = task(every(1, Period.YEAR), scope=IN, out_of_scope=MOVE)
    assert due(yearly, done("2025-07-01"), REOPENED, "2026-05-01") == day("2026-07-01")
    nine_months = task(every(9, Period.MONTH), scope=IN, out_of_scope=MOVE)
    assert due(nine_months, done("2025-07-01"), REOPENED, "2026-05-01") == day("2026-04-20")


def test_work_left_undone_before_the_closing_does_not_start_the_season_late() -> None:
    for policy in (MOVE, SKIP):
        weekly = task(every(7), scope=IN, out_of_scope=policy)
        found = open_one(weekly, done("2025-10-01"), REOPENED, "2026-04-20")
        assert found.due_on >= day("2026-04-20")


def test_a_stopped_clock_does_not_count_the_winter_as_delay() -> None:
    weekly = task(every(7), scope=IN, out_of_scope=STOP)
    found = open_one(weekly, done("2025-10-23"), REOPENED, "2026-04-20")
    # Due on the last open day, late after one more live day, the first of the new season.
    assert found.due_on == day("2025-10-30")
    assert found.late_after == day("2026-04-20")
    assert found.status is Status.DUE


def test_dates_of_a_rule_outside_the_season_fall_away_or_move() -> None:
    skips = task(SUNDAYS, scope=IN, out_of_scope=SKIP)
    moves = task(SUNDAYS, scope=IN, out_of_scope=MOVE)
    stops = task(SUNDAYS, scope=IN, out_of_scope=STOP)
    facts = done("2025-10-26")
    assert due(skips, facts, REOPENED, "2026-04-21") == day("2026-04-26")
    assert due(stops, facts, REOPENED, "2026-04-21") == day("2026-04-26")
    moved = open_one(moves, facts, REOPENED, "2026-04-21")
    assert moved.due_on == day("2026-04-20")
    assert isinstance(moved.reason, RuleReason)
    assert moved.reason.moved_from == day("2025-11-02")


def test_a_date_in_the_season_supersedes_the_one_that_was_moved() -> None:
    moves = task(SUNDAYS, scope=IN, out_of_scope=MOVE)
    found = open_one(moves, done("2025-10-26"), REOPENED, "2026-04-26")
    assert found.due_on == day("2026-04-26")
    assert found.missed == days("2025-11-02")


def test_a_closed_season_task_starts_with_each_closing() -> None:
    visit = task(every(1, Period.MONTH), scope=CLOSED_SEASON, starts_on="2025-01-01")
    found = open_one(visit, None, WINTERED, "2025-11-05")
    assert found.due_on == day("2025-11-30")
    assert found.key == "open:2"


# --- pauses


def test_what_falls_due_in_a_pause_is_due_when_it_ends() -> None:
    away = tub(
        OPENED_2026, ("2026-07-01", TubState.PAUSED), ("2026-07-20", TubState.OPEN), plan=SUMMER
    )
    found = open_one(task(every(7), scope=IN), done("2026-06-28"), away, "2026-07-20")
    assert (found.due_on, found.status) == (day("2026-07-20"), Status.DUE)


def test_a_pause_stops_a_clock_that_stops() -> None:
    away = tub(
        OPENED_2026, ("2026-07-01", TubState.PAUSED), ("2026-07-20", TubState.OPEN), plan=SUMMER
    )
    stops = task(every(7), scope=IN, out_of_scope=STOP)
    # Two live days to 30 June, five from 20 July.
    assert due(stops, done("2026-06-28"), away, "2026-07-21") == day("2026-07-24")


def test_a_pause_of_no_days_changes_nothing() -> None:
    plain = tub(OPENED_2026, plan=SUMMER)
    blink = tub(
        OPENED_2026, ("2026-07-01", TubState.PAUSED), ("2026-07-01", TubState.OPEN), plan=SUMMER
    )
    for policy in OutOfScope:
        each = task(every(7), scope=IN, out_of_scope=policy)
        for facts in (None, done("2026-06-28")):
            assert open_one(each, facts, plain, "2026-07-03") == open_one(
                each, facts, blink, "2026-07-03"
            )


def test_a_pause_is_not_a_new_season() -> None:
    away = tub(
        OPENED_2026, ("2026-07-01", TubState.PAUSED), ("2026-07-20", TubState.OPEN), plan=SUMMER
    )
    found = open_one(task(every(30), scope=IN), done("2026-06-28"), away, "2026-07-21")
    assert found.key == "done:1"


# --- the plan and the facts


def test_facts_win_over_the_plan() -> None:
    # Planned for 15 April, opened on the 20th.
    weekly = task(every(7), scope=IN)
    assert due(weekly, done("2025-10-28"), REOPENED, "2026-04-20") == day("2026-04-27")


def test_a_tub_stays_open_past_its_planned_closing_until_it_is_closed() -> None:
    weekly = task(every(7), scope=IN)
    late_autumn = tub(OPENED_2026, plan=SUMMER)
    found = open_one(weekly, done("2026-11-01"), late_autumn, "2026-11-08")
    assert (found.status, found.due_on) == (Status.DUE, day("2026-11-08"))


def test_a_tub_stays_closed_past_its_planned_opening_until_it_is_opened() -> None:
    found = open_one(task(every(7), scope=IN), done("2025-10-28"), WINTERED, "2026-05-10")
    assert found.status is Status.ASLEEP


def test_without_any_record_the_plan_counts() -> None:
    planned = tub(plan=SUMMER)
    weekly = task(every(7), scope=IN)
    assert open_one(weekly, None, planned, "2026-05-10").status is not Status.ASLEEP
    assert open_one(weekly, None, planned, "2026-03-10").status is Status.ASLEEP


def test_without_a_plan_the_tub_is_open_all_year() -> None:
    assert open_one(task(every(7), scope=IN), None, tub(), "2026-01-08").status is Status.DUE


def test_a_season_may_wrap_over_new_year() -> None:
    winter_tub = tub(plan=WINTER)
    weekly = task(every(7), scope=IN, out_of_scope=SKIP)
    # 2026-12-28 + 7: straight on over New Year.
    assert due(weekly, done("2026-12-28"), winter_tub, "2026-12-30") == day("2027-01-04")
    # The last day of March is the first closed one; 28 March + 7 falls away until November.
    assert due(weekly, done("2027-03-28"), winter_tub, "2027-03-30") == day("2027-11-07")


def test_a_southern_summer_is_one_season() -> None:
    southern = tub(
        ("2026-10-15", TubState.OPEN),
        plan=SeasonPlan(opens=MonthDay(month=10, day=15), closes=MonthDay(month=4, day=15)),
    )
    weekly = task(every(7), scope=IN)
    assert open_one(weekly, done("2027-01-01"), southern, "2027-01-08").status is Status.DUE
    closing = task(SeasonTrigger(edge=Edge.CLOSING, offset_days=-7), starts_on="2026-10-15")
    assert due(closing, None, southern, "2027-01-08") == day("2027-04-08")


def test_a_plan_on_29_february_falls_on_the_28th_in_short_years() -> None:
    leap = SeasonPlan(opens=MonthDay(month=2, day=29), closes=MonthDay(month=10, day=1))
    opening = task(SeasonTrigger(edge=Edge.OPENING))
    assert due(opening, None, tub(plan=leap), "2026-01-01") == day("2026-02-28")
    assert due(opening, done("2027-12-31"), tub(plan=leap), "2028-01-01") == day("2028-02-29")
