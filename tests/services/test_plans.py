from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tubcare.care.model import Status
from tubcare.errors import InputError
from tubcare.services.history import undo
from tubcare.services.outlook import ahead
from tubcare.services.plans import (
    accept,
    add_tub_with_plan,
    apply_redraw,
    offered,
    redraw,
)
from tubcare.services.tasks import TaskDraft, change_task, drop_task, task_detail, task_list
from tubcare.services.templates import caution_texts
from tubcare.services.tubs import change_profile, tubs
from tubcare.services.week import this_week
from tubcare.values import Sanitiser, TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

TODAY = date(2026, 5, 1)


def test_a_new_tub_starts_with_about_a_dozen_tasks_and_none_is_late(desk: Desk) -> None:
    added = add_tub_with_plan(desk, TubProfile(name="North", zone="Europe/Helsinki"))
    assert 10 <= added.tasks <= 20
    week = this_week(desk)
    assert week.late == ()
    assert {i.occurrence.status for i in week.due_today} <= {Status.DUE}
    assert len(offered(desk, added.tub)) > 10


def test_offered_tasks_can_be_taken_and_dropped_ones_stay_away(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    assert accept(desk, tub, {"lid.gasket"}) == 1
    gasket = next(t for t in task_list(desk) if t.title == "Clean the lid and its gasket")
    drop_task(desk, gasket.id)
    assert "lid.gasket" not in {p.template_key for p in offered(desk, tub)}
    undo(desk)
    assert gasket.id in {t.id for t in task_list(desk)}


def test_redrawing_shows_the_difference_and_leaves_alone_what_a_person_changed(
    desk: Desk,
) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    swap = next(t for t in task_list(desk) if t.title == "Swap the filter cartridge")
    detail = task_detail(desk, swap.id)
    draft = TaskDraft(
        tub=tub,
        title="Swap the big cartridge",
        category=detail.category,
        rules={"triggers": [{"kind": "elapsed", "every": 45, "period": "day"}]},
        starts_on=detail.task.starts_on,
        card=detail.card,
    )
    change_task(desk, swap.id, draft, revision=1)
    profile = next(t.profile for t in tubs(desk) if t.id == tub)
    change_profile(desk, tub, replace(profile, sanitiser=Sanitiser.FREQUENT_CHANGE))
    diff = redraw(desk, tub)
    assert "Swap the big cartridge" in {keep.title for keep in diff.untouched}
    assert "Test the water" in {keep.title for keep in diff.dropped}
    assert "water.change_often" in {p.template_key for p in diff.added}
    apply_redraw(desk, tub, diff)
    titles = {t.title for t in task_list(desk)}
    assert "Swap the big cartridge" in titles
    assert "Test the water" not in titles
    assert redraw(desk, tub).is_empty


def test_the_dates_ahead_come_in_order(desk: Desk) -> None:
    add_tub_with_plan(desk, TubProfile(name="North"))
    dates = [each.due_on for each in ahead(desk, TODAY + timedelta(days=90)).occurrences]
    assert len(dates) > 20
    assert dates == sorted(dates)


def test_an_impossible_rule_is_refused_naming_the_part(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    some = task_list(desk)[0]
    rule = {"kind": "calendar", "rule": "FREQ=HOURLY", "start": "2026-05-01"}
    draft = TaskDraft(
        tub=tub,
        title="x",
        category=some.category,
        rules={"triggers": [rule]},
        starts_on=TODAY,
    )
    with pytest.raises(InputError, match="FREQ"):
        change_task(desk, some.id, draft, revision=1)


def test_a_task_tells_its_cautions_in_words(desk: Desk) -> None:
    add_tub_with_plan(desk, TubProfile(name="North"))
    rcd = next(t for t in task_list(desk) if t.title == "Test the RCD")
    told = task_detail(desk, rcd.id).cautions
    assert any("licensed electrician" in text for text in told)
    assert not set(told) & set(caution_texts())
