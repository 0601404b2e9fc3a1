from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tubcare.care.model import Status, TubState
from tubcare.care.plan_card import TaskCard
from tubcare.care.trigger_data import rules_to_data
from tubcare.errors import InputError
from tubcare.services.history import undo
from tubcare.services.outlook import ahead
from tubcare.services.plans import (
    accept,
    add_tub_with_plan,
    apply_redraw,
    offered,
    planned_for,
    redraw,
)
from tubcare.services.task_edits import TaskDraft, change_task, drop_task
from tubcare.services.tasks import task_detail, task_list
from tubcare.services.templates import caution_texts
from tubcare.services.tubs import change_profile, tubs
from tubcare.services.week import this_week
from tubcare.values import FilterKind, Sanitiser, TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

TODAY = date(2026, 5, 1)


def test_a_new_tub_starts_with_about_a_dozen_tasks_and_none_is_late(desk: Desk) -> None:
    added = add_tub_with_plan(desk, TubProfile(name="North", zone="Europe/Helsinki"))
    # With those that stand in no list until a reading asks.
    assert 10 <= added.tasks <= 24
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


def test_only_the_ticked_parts_of_a_redrawn_plan_are_saved(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    profile = next(t.profile for t in tubs(desk) if t.id == tub)
    change_profile(desk, tub, replace(profile, sanitiser=Sanitiser.FREQUENT_CHANGE))
    diff = redraw(desk, tub)
    test = next(keep for keep in diff.dropped if keep.title == "Test the water")
    apply_redraw(desk, tub, diff.only(keys={"water.change_often"}, tasks={test.task_id}))
    titles = {t.title for t in task_list(desk)}
    assert "Test the water" not in titles
    rest = redraw(desk, tub)
    assert "water.change_often" not in {p.template_key for p in rest.added}
    assert len(rest.dropped) == len(diff.dropped) - 1


def test_a_task_whose_supplies_a_person_changed_is_left_alone(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    swap = next(t for t in task_list(desk) if t.title == "Swap the filter cartridge")
    detail = task_detail(desk, swap.id)
    draft = TaskDraft(
        tub=tub,
        title=detail.title,
        category=detail.category,
        rules=rules_to_data(detail.task),
        starts_on=detail.task.starts_on,
        first_due_on=detail.task.first_due_on,
        card=detail.card,
        supplies={detail.supplies[0].supply: 2000},
    )
    change_task(desk, swap.id, draft, revision=1)
    profile = next(t.profile for t in tubs(desk) if t.id == tub)
    change_profile(desk, tub, replace(profile, filter_kind=FilterKind.NONE))
    diff = redraw(desk, tub)
    assert swap.id in {keep.task_id for keep in diff.untouched}
    assert swap.id not in {keep.task_id for keep in diff.dropped}


def test_a_plan_is_saved_as_it_was_changed_before_and_the_changes_stay(desk: Desk) -> None:
    profile = TubProfile(name="North")
    planned = {p.template_key: p for p in planned_for(profile, TODAY)}
    rinse = planned["filter.swap"]
    slower = replace(
        rinse,
        title="Swap the blue cartridge",
        rules={**rinse.rules, "triggers": [{"kind": "elapsed", "every": 50, "period": "day"}]},
    )
    own = replace(rinse, template_key="", title="Wipe the bench", card=TaskCard(why="It is wet."))
    added = add_tub_with_plan(
        desk,
        profile,
        keys={"filter.swap", "water.test"},
        changed={"filter.swap": slower},
        own=(own,),
        state=TubState.OPEN,
    )
    titles = {t.title for t in task_list(desk)}
    assert titles == {"Swap the blue cartridge", "Test the water", "Wipe the bench"}
    assert added.tasks == 3
    untouched = {keep.title for keep in redraw(desk, added.tub).untouched}
    assert untouched == {"Swap the blue cartridge", "Wipe the bench"}
    assert tubs(desk)[0].state is TubState.OPEN


def test_what_was_last_done_on_a_known_day_goes_on_from_there() -> None:
    profile = TubProfile(name="North")
    known = {"filter.swap": TODAY - timedelta(days=3)}
    plain = next(p for p in planned_for(profile, TODAY) if p.template_key == "filter.swap")
    (told,) = (
        p for p in planned_for(profile, TODAY, last_done=known) if p.template_key == "filter.swap"
    )
    assert plain.asks_last_done
    assert told.first_due_on is not None
    assert told.first_due_on >= TODAY
    assert told.first_due_on != plain.first_due_on


def test_a_name_that_another_tub_has_is_refused(desk: Desk) -> None:
    add_tub_with_plan(desk, TubProfile(name="North"))
    south = add_tub_with_plan(desk, TubProfile(name="South")).tub
    before = facts(desk.store)
    with pytest.raises(InputError, match="named “North” already"):
        change_profile(desk, south, TubProfile(name="North"))
    with pytest.raises(InputError, match="named “North” already"):
        add_tub_with_plan(desk, TubProfile(name="North"))
    assert facts(desk.store) == before


def test_one_undo_takes_a_new_tub_back_with_its_plan_and_its_state(desk: Desk) -> None:
    before = facts(desk.store)
    add_tub_with_plan(desk, TubProfile(name="North"), state=TubState.OPEN)
    undo(desk)
    assert facts(desk.store) == before
