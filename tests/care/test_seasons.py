"""Scopes, seasons and the states of a tub, in both hemispheres."""

from __future__ import annotations

import pytest

from tests.care.builders import (
    SUMMER,
    WINTER,
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
    FrostDates,
    OutOfScope,
    Period,
    RuleReason,
    Scope,
    SeasonPlan,
    SeasonReason,
    SeasonTrigger,
    Status,
    TubState,
)
from tubcare.care.occurrences import occurrence
from tubcare.values import MonthDay

IN, CLOSED_SEASON = Scope.IN_SEASON, Scope.CLOSED_SEASON
STOP, MOVE, SKIP = OutOfScope.STOP_CLOCK, OutOfScope.MOVE_TO_START, OutOfScope.SKIP
OPENED_2025 = ("2025-04-15", TubState.OPEN)
CLOSED_2025 = ("2025-10-31", TubState.CLOSED)
OPENED_2026 = ("2026-04-20", TubState.OPEN)
WINTERED = tub(OPENED_2025, CLOSED_2025, plan=SUMMER)
REOPENED = tub(OPENED_2025, CLOSED_2025, OPENED_2026, plan=SUMMER)
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


# --- season triggers


def _closing(offset_days: int = -7) -> SeasonTrigger:
    return SeasonTrigger(edge=Edge.CLOSING, offset_days=offset_days)


def test_work_before_the_closing_counts_from_the_planned_day() -> None:
    found = open_one(task(_closing(), starts_on="2026-05-01"), None, REOPENED, "2026-06-01")
    assert found.due_on == day("2026-10-24")
    assert found.reason == SeasonReason(
        edge=Edge.CLOSING, edge_on=day("2026-10-31"), offset_days=-7, planned=True
    )


def test_work_after_the_opening_counts_from_the_real_day() -> None:
    after = task(SeasonTrigger(edge=Edge.OPENING, offset_days=10), starts_on="2026-01-01")
    found = open_one(after, None, REOPENED, "2026-04-21")
    assert found.due_on == day("2026-04-30")
    assert isinstance(found.reason, SeasonReason)
    assert not found.reason.planned


def test_work_before_the_opening_is_awake_while_the_tub_is_closed() -> None:
    before = task(SeasonTrigger(edge=Edge.OPENING, offset_days=-7), scope=IN)
    found = open_one(before, None, WINTERED, "2026-04-08")
    assert (found.due_on, found.status) == (day("2026-04-08"), Status.DUE)


def test_a_closing_that_comes_later_than_planned_is_not_due_again() -> None:
    closed_late = tub(OPENED_2026, ("2026-11-20", TubState.CLOSED), plan=SUMMER)
    facts = done("2026-10-20", due="2026-10-24", key="start:1@closing-2026")
    found = open_one(task(_closing()), facts, closed_late, "2026-11-21")
    assert found.due_on == day("2027-10-24")


def test_the_key_of_a_season_task_names_the_edge_and_its_year() -> None:
    found = open_one(task(_closing(), starts_on="2026-05-01"), None, REOPENED, "2026-06-01")
    assert found.key == "start:1@closing-2026"
    early = tub(OPENED_2026, ("2026-10-20", TubState.CLOSED), plan=SUMMER)
    same = open_one(task(_closing(), starts_on="2026-05-01"), None, early, "2026-10-21")
    assert same.key == found.key


def test_a_new_task_takes_part_in_the_edge_that_is_still_ahead() -> None:
    # Planned on 20 October for a closing on the 31st, a week after its date.
    found = open_one(task(_closing(-21), starts_on="2026-10-20"), None, REOPENED, "2026-10-20")
    assert (found.due_on, found.status) == (day("2026-10-20"), Status.DUE)


def test_a_plan_drawn_up_after_the_planned_closing_of_an_open_tub_asks_for_it_at_once() -> None:
    found = open_one(task(_closing(), starts_on="2026-11-25"), None, REOPENED, "2026-11-25")
    assert (found.due_on, found.status) == (day("2026-11-25"), Status.DUE)
    assert found.key == "start:1@closing-2026"
    closed = tub(OPENED_2026, ("2026-11-20", TubState.CLOSED), plan=SUMMER)
    later = open_one(task(_closing(), starts_on="2026-11-25"), None, closed, "2026-11-25")
    assert later.due_on == day("2027-10-24")
    unrecorded = open_one(
        task(_closing(), starts_on="2026-03-01"), None, tub(plan=SUMMER), "2026-03-01"
    )
    assert unrecorded.due_on == day("2026-10-24")


def test_work_before_the_opening_is_not_asked_of_a_tub_that_was_opened_when_the_plan_began() -> (
    None
):
    before = task(SeasonTrigger(edge=Edge.OPENING, offset_days=-7), starts_on="2026-04-20")
    found = open_one(before, None, tub(OPENED_2026, plan=SUMMER), "2026-04-20")
    assert found.due_on == day("2027-04-08")


def test_a_closing_left_undone_is_superseded_by_the_next() -> None:
    all_winter = tub(("2024-04-15", TubState.OPEN), plan=SUMMER)
    each = task(_closing(), starts_on="2024-05-01")
    found = open_one(each, None, all_winter, "2025-11-01")
    assert found.due_on == day("2025-10-24")
    assert found.missed == days("2024-10-24")


# --- openings and closings that fall out of the plan, in both hemispheres

SOUTHERN = SeasonPlan(opens=MonthDay(month=10, day=15), closes=MonthDay(month=4, day=15))
BEFORE_OPENING = SeasonTrigger(edge=Edge.OPENING, offset_days=-7)


@pytest.mark.parametrize(
    ("plan", "opened", "today", "spring"),
    [
        (SUMMER, "2026-04-20", "2026-07-01", "2027-04-08"),
        (SUMMER, "2026-04-20", "2026-11-25", "2027-04-08"),
        (SUMMER, "2025-04-20", "2026-11-25", "2027-04-08"),
        (SUMMER, "2026-11-10", "2026-11-25", "2027-04-08"),
        (SUMMER, "2026-11-10", "2027-02-25", "2027-04-08"),
        (SUMMER, "2026-03-20", "2026-03-21", "2027-04-08"),
        (SOUTHERN, "2025-10-20", "2026-02-01", "2026-10-08"),
        (SOUTHERN, "2025-10-20", "2026-05-10", "2026-10-08"),
        (SOUTHERN, "2026-05-10", "2026-05-20", "2026-10-08"),
        (SOUTHERN, "2026-09-20", "2026-09-21", "2027-10-08"),
        (WINTER, "2026-11-05", "2027-01-10", "2027-10-25"),
        (WINTER, "2026-11-05", "2027-04-10", "2027-10-25"),
        (WINTER, "2027-04-20", "2027-05-10", "2027-10-25"),
    ],
)
def test_the_next_opening_of_an_open_tub_is_that_of_the_coming_season(
    plan: SeasonPlan, opened: str, today: str, spring: str
) -> None:
    each = task(BEFORE_OPENING, starts_on=opened)
    assert due(each, None, tub((opened, TubState.OPEN), plan=plan), today) == day(spring)


@pytest.mark.parametrize(
    ("plan", "opened", "late", "spring"),
    [
        (SUMMER, "2026-04-20", "2026-11-25", "2027-04-08"),
        (SOUTHERN, "2025-10-20", "2026-05-10", "2026-10-08"),
    ],
)
def test_the_next_opening_stays_where_it_is_when_a_late_closing_is_written_down(
    plan: SeasonPlan, opened: str, late: str, spring: str
) -> None:
    closed = tub((opened, TubState.OPEN), (late, TubState.CLOSED), plan=plan)
    assert due(task(BEFORE_OPENING, starts_on=opened), None, closed, late) == day(spring)


def test_a_tub_that_stayed_open_all_winter_is_not_asked_for_an_opening_that_has_passed() -> None:
    each = task(BEFORE_OPENING, starts_on="2026-04-20")
    all_winter = tub(OPENED_2026, plan=SUMMER)
    assert due(each, None, all_winter, "2027-04-14") == day("2027-04-08")
    assert due(each, None, all_winter, "2027-04-15") == day("2028-04-08")


def test_an_opening_by_its_procedure_half_a_year_late_is_not_due_again_at_once() -> None:
    late = tub(CLOSED_2025, ("2026-11-10", TubState.OPEN), plan=SUMMER)
    facts = done("2026-11-10", due="2026-04-08", key="start:1@opening-2026")
    assert due(task(BEFORE_OPENING), facts, late, "2026-11-11") == day("2027-04-08")


@pytest.mark.parametrize(
    ("plan", "changes", "closed", "key_year", "autumn"),
    [
        (SUMMER, ("2026-11-10",), "2026-12-05", 2027, "2027-10-24"),
        (SUMMER, ("2026-04-20",), "2027-05-10", 2026, "2028-10-24"),
        (SOUTHERN, ("2026-05-01",), "2026-06-01", 2027, "2027-04-08"),
    ],
)
def test_a_closing_by_its_procedure_out_of_its_time_leaves_the_next_one_due(
    plan: SeasonPlan, changes: tuple[str], closed: str, key_year: int, autumn: str
) -> None:
    now = tub((changes[0], TubState.OPEN), (closed, TubState.CLOSED), plan=plan)
    facts = done(closed, due=autumn, key=f"start:1@closing-{key_year}")
    assert due(task(_closing()), facts, now, closed) == day(autumn)


def test_a_tub_opened_again_after_a_closing_in_summer_is_to_be_closed_in_autumn() -> None:
    again = tub(
        OPENED_2026, ("2026-07-30", TubState.CLOSED), ("2026-08-10", TubState.OPEN), plan=SUMMER
    )
    facts = done("2026-07-30", due="2026-10-24", key="start:1@closing-2026")
    assert due(task(_closing()), facts, again, "2026-08-11") == day("2026-10-24")


def test_a_tub_that_stayed_closed_all_summer_is_not_to_be_closed() -> None:
    each = task(_closing(), starts_on="2025-11-01")
    assert due(each, None, WINTERED, "2026-11-25") == day("2027-10-24")


# --- frost

FROST = (
    FrostDates(
        watch_from=MonthDay(month=9, day=20), dry_by=MonthDay(month=10, day=25), risk_percent=10
    ),
    FrostDates(
        watch_from=MonthDay(month=10, day=5), dry_by=MonthDay(month=11, day=8), risk_percent=50
    ),
)


@pytest.mark.parametrize(
    ("edge", "risk", "expected"),
    [
        (Edge.FROST_WATCH, None, "2026-09-20"),
        (Edge.FROST_WATCH, 50, "2026-10-05"),
        (Edge.FROST_DRY, 10, "2026-10-25"),
        (Edge.FROST_DRY, 50, "2026-11-08"),
    ],
)
def test_frost_tasks_hang_on_the_date_of_the_chosen_risk(
    edge: Edge, risk: int | None, expected: str
) -> None:
    cold = tub(OPENED_2026, plan=SUMMER, frost=FROST)
    watch = task(SeasonTrigger(edge=edge, risk_percent=risk), no_grace=True)
    assert due(watch, None, cold, "2026-06-01") == day(expected)


def test_a_frost_task_is_late_the_day_after() -> None:
    cold = tub(OPENED_2026, plan=SUMMER, frost=FROST)
    watch = task(SeasonTrigger(edge=Edge.FROST_DRY), no_grace=True)
    assert open_one(watch, None, cold, "2026-10-26").status is Status.LATE


def test_a_risk_that_the_site_has_no_date_for_asks_for_nothing() -> None:
    cold = tub(OPENED_2026, plan=SUMMER, frost=FROST)
    watch = task(SeasonTrigger(edge=Edge.FROST_DRY, risk_percent=25))
    assert occurrence(watch, None, cold, day("2026-06-01")) is None
    dry = task(SeasonTrigger(edge=Edge.FROST_DRY))
    assert occurrence(dry, None, tub(plan=SUMMER), day("2026-06-01")) is None


def test_a_tub_closed_a_day_early_is_not_expected_to_open_again_before_the_next_season() -> None:
    plan = SeasonPlan(opens=MonthDay(month=4, day=15), closes=MonthDay(month=10, day=31))
    closed = tub(("2026-04-15", TubState.OPEN), ("2026-10-30", TubState.CLOSED), plan=plan)
    visit = task(every(28), scope=CLOSED_SEASON)
    for on in ("2026-10-30", "2026-10-31", "2026-11-05"):
        found = occurrence(visit, None, closed, day(on))
        assert found is not None
        assert (found.key, found.due_on) == ("open:2", day("2026-11-27"))
