"""Work that hangs on an opening, a closing or a frost date, in both hemispheres."""

from __future__ import annotations

import pytest

from tests.care.builders import (
    CLOSED_2025,
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
    task,
    tub,
)
from tubcare.care.model import (
    Edge,
    FrostDates,
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
