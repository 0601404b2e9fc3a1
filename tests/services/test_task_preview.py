"""The next five dates of an edited task, as the care engine sees them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from dateutil.rrule import rrulestr

from tests.support.plans import add_task as put_task
from tests.support.plans import add_tub
from tubcare.care.model import Category
from tubcare.services.measures import add_dip
from tubcare.services.task_edits import TaskDraft, draft_of
from tubcare.services.task_preview import preview
from tubcare.services.tasks import task_detail
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

TODAY = date(2026, 5, 1)


def draft(desk: Desk, *triggers: dict[str, Any], **rules: object) -> TaskDraft:
    return TaskDraft(
        tub=add_tub(desk),
        title="",
        category=Category.OTHER,
        rules={"triggers": list(triggers), **rules},
        starts_on=TODAY,
    )


def dates(desk: Desk, given: TaskDraft) -> list[date]:
    return [each.due_on for each in preview(desk, given).dates]


def test_a_calendar_rule_gives_the_dates_that_dateutil_gives(desk: Desk) -> None:
    rule = "FREQ=MONTHLY;BYDAY=1SA"
    found = dates(desk, draft(desk, {"kind": "calendar", "rule": rule}))
    # python-dateutil, an implementation of RFC 5545 of its own.
    expected = rrulestr(f"DTSTART:20260501\nRRULE:{rule};COUNT=5")
    assert found == [moment.date() for moment in expected]


def test_the_earliest_of_several_rules_wins_each_time(desk: Desk) -> None:
    found = dates(
        desk,
        draft(
            desk,
            {"kind": "elapsed", "every": 30, "period": "day"},
            {"kind": "once", "on": "2026-05-10"},
        ),
    )
    assert found[0] == date(2026, 5, 10)
    assert len(found) == 5


def test_five_dates_come_also_where_years_lie_between_them(desk: Desk) -> None:
    found = dates(desk, draft(desk, {"kind": "elapsed", "every": 8, "period": "year"}))
    assert [day.year for day in found] == [2034, 2042, 2050, 2058, 2066]


def test_dates_follow_the_season_of_the_tub(desk: Desk) -> None:
    found = dates(desk, draft(desk, {"kind": "season", "edge": "closing", "offset_days": -7}))
    assert found[:2] == [date(2026, 10, 25), date(2027, 10, 25)]


def test_use_is_foreseen_from_the_recent_pace(desk: Desk) -> None:
    given = draft(desk, {"kind": "use", "counter": "dip", "amount": 10})
    assert preview(desk, given).dates == ()
    assert preview(desk, given).waits_for_use
    add_dip(desk, given.tub, dips=14)
    shown = preview(desk, replace(given, starts_on=date(2026, 4, 1)))
    assert len(shown.dates) == 5
    assert all(each.about for each in shown.dates[1:])


def test_a_reading_has_no_date_ahead(desk: Desk) -> None:
    shown = preview(desk, draft(desk, {"kind": "reading", "when": "ph outside range"}))
    assert (shown.dates, shown.waits_for_reading, shown.faults) == ((), True, ())


def test_each_rule_that_cannot_be_used_is_named_by_its_place_and_part(desk: Desk) -> None:
    shown = preview(
        desk,
        draft(
            desk,
            {"kind": "calendar", "rule": "FREQ=MONTHLY;BYMONTHDAY=32"},
            {"kind": "elapsed", "every": 30, "period": "day"},
            {"kind": "elapsed", "every": 0, "period": "day"},
        ),
    )
    told = [
        (fault.trigger, getattr(fault.error, "field", None) or getattr(fault.error, "name", None))
        for fault in shown.faults
    ]
    assert told == [(0, "BYMONTHDAY"), (2, "count")]
    assert shown.dates == ()


def test_a_task_that_is_on_record_goes_on_from_its_last_time(desk: Desk) -> None:
    task = put_task(desk, add_tub(desk))
    record_work(desk, task, Work(on=date(2026, 4, 28)))
    given = draft_of(task_detail(desk, task))
    rules = {"triggers": [{"kind": "elapsed", "every": 2, "period": "week"}]}
    assert preview(desk, replace(given, rules=rules), task).dates[0].due_on == date(2026, 5, 12)
