"""Drawing a plan anew: the difference is shown, and nothing a person changed is touched."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.care.plan_cases import PLAIN, TODAY, profiles, shipped
from tubcare.care.plan import draw_plan
from tubcare.care.plan_redraw import ExistingTask, PlanDiff, changed_parts, content_to_data, redraw
from tubcare.care.trigger_data import rules_to_data
from tubcare.errors import InputError
from tubcare.values import Cladding, Liner, TaskId, TubProfile

LATER = date(2026, 8, 1)


def existing(profile: TubProfile = PLAIN) -> dict[str, ExistingTask]:
    """Return the whole plan of a profile as if it had been saved, by template key."""
    found = {}
    for number, planned in enumerate(draw_plan(profile, shipped(), TODAY), 1):
        data = json.loads(json.dumps(content_to_data(planned)))
        found[planned.template_key] = ExistingTask(
            id=TaskId(number),
            title=planned.title,
            starts_on=planned.starts_on,
            template_key=planned.template_key,
            drawn=data,
            current=data,
        )
    return found


def changed(task: ExistingTask, **new: object) -> ExistingTask:
    return replace(task, current={**(task.current or {}), **new})


def again(
    profile: TubProfile, tasks: dict[str, ExistingTask], dropped: tuple[str, ...] = ()
) -> PlanDiff:
    return redraw(profile, shipped(), tasks.values(), LATER, dropped=dropped)


def test_drawing_anew_from_the_same_profile_changes_nothing() -> None:
    tasks = existing()
    diff = again(PLAIN, tasks)
    assert diff.is_empty
    assert len(diff.kept) == len(tasks)


def test_a_new_liner_adds_its_tasks_and_drops_the_old_inspection() -> None:
    diff = again(replace(PLAIN, liner=Liner.ALUMINIUM), existing())
    assert {each.template_key for each in diff.added} == {
        "liner.aluminium",
        "water.test_aluminium",
    }
    assert [each.title for each in diff.dropped] == ["Inspect the liner"]
    assert diff.changed == ()
    assert all(each.starts_on == LATER for each in diff.added)


def test_a_larger_tub_changes_the_use_between_two_changes_of_water() -> None:
    diff = again(replace(PLAIN, volume_l=1200.0), existing())
    assert [(each.title, each.parts) for each in diff.changed] == [
        ("Change the water", ("triggers",))
    ]
    assert diff.added == ()


@pytest.mark.parametrize(
    "new",
    [
        {"title": "Our own words"},
        {"category": "other"},
        {"plan": {"triggers": [{"kind": "elapsed", "every": 9, "period": "week"}]}},
        {"card": {"why": "Because", "steps": []}},
    ],
)
def test_what_a_person_changed_stays_whatever_the_profile_says(new: dict[str, Any]) -> None:
    tasks = existing()
    for key in ("water.change", "liner.inspect"):
        tasks[key] = changed(tasks[key], **new)
    profile = replace(PLAIN, volume_l=1200.0, liner=Liner.ALUMINIUM)
    diff = again(profile, tasks)
    mine = {tasks[key].id for key in ("water.change", "liner.inspect")}
    assert {each.task_id for each in diff.untouched} == mine
    assert not mine & {each.task_id for each in diff.changed}
    assert not mine & {each.task_id for each in diff.dropped}


def test_changed_supplies_count_as_a_change_of_the_person() -> None:
    tasks = existing()
    tasks["water.change"] = replace(tasks["water.change"], touched=True)
    diff = again(replace(PLAIN, volume_l=1200.0), tasks)
    assert diff.changed == ()
    assert changed_parts(tasks["water.change"]) == ("supplies",)


def test_a_task_of_the_persons_own_is_left_alone() -> None:
    own = ExistingTask(id=TaskId(999), title="Feed the cat", starts_on=TODAY)
    diff = redraw(PLAIN, shipped(), [*existing().values(), own], LATER)
    assert [each.title for each in diff.untouched] == ["Feed the cat"]
    assert diff.is_empty


def test_dropped_templates_stay_dropped() -> None:
    tasks = existing()
    del tasks["pump.look"], tasks["pump.flow"]
    diff = again(PLAIN, tasks, dropped=("pump.look",))
    assert [each.template_key for each in diff.added] == ["pump.flow"]


def test_rules_stored_with_their_defaults_and_start_are_not_a_change() -> None:
    tasks = existing(replace(PLAIN, cladding=Cladding.SOFTWOOD))
    planned = {
        each.template_key: each
        for each in draw_plan(replace(PLAIN, cladding=Cladding.SOFTWOOD), shipped(), TODAY)
    }
    for key, task in tasks.items():
        tasks[key] = changed(task, plan=rules_to_data(planned[key].task()))
        assert changed_parts(tasks[key]) == (), key
    assert again(replace(PLAIN, cladding=Cladding.SOFTWOOD), tasks).is_empty


def test_a_calendar_rule_that_starts_on_another_day_is_a_change() -> None:
    task = existing()["metering.read"]
    plan: Any = json.loads(json.dumps((task.current or {})["plan"]))
    plan["triggers"][0]["start"] = "2026-06-15"
    assert changed_parts(changed(task, plan=plan)) == ("triggers",)


def test_data_that_cannot_be_read_names_the_field() -> None:
    broken = changed(existing()["water.test"], category="nonsense")
    with pytest.raises(InputError, match="category"):
        redraw(PLAIN, shipped(), [broken], LATER)


@given(old=profiles, new=profiles, data=st.data())
def test_every_task_ends_in_one_place_and_changed_ones_are_untouched(
    old: TubProfile, new: TubProfile, data: st.DataObject
) -> None:
    tasks = existing(old)
    mine = data.draw(st.sets(st.sampled_from(sorted(tasks))))
    for key in mine:
        tasks[key] = changed(tasks[key], title="Mine")
    diff = again(new, tasks)
    placed = [
        *(each.task_id for each in diff.changed),
        *(each.task_id for each in diff.dropped),
        *(each.task_id for each in diff.kept),
        *(each.task_id for each in diff.untouched),
    ]
    assert sorted(placed) == sorted(task.id for task in tasks.values())
    assert {each.task_id for each in diff.untouched} == {tasks[key].id for key in mine}
    after = {each.template_key for each in diff.added} | set(tasks)
    assert {each.template_key for each in draw_plan(new, shipped(), LATER)} <= after
