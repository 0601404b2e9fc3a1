"""A person's own changes of the care plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tests.support.plans import add_tub
from tubcare.care.model import Category
from tubcare.care.plan_card import Step, TaskCard
from tubcare.errors import InputError, OutOfRangeError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.history import undo
from tubcare.services.plans import add_tub_with_plan, offered, redraw
from tubcare.services.supplies import new_supply
from tubcare.services.task_edits import (
    TaskDraft,
    add_task,
    bring_back,
    change_task,
    draft_of,
    drop_task,
    dropped_tasks,
)
from tubcare.services.tasks import task_detail, task_list
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.values import TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

TODAY = date(2026, 5, 1)
EVERY_WEEK = {"triggers": [{"kind": "elapsed", "every": 1, "period": "week"}]}


def draft(desk: Desk) -> TaskDraft:
    return TaskDraft(
        tub=add_tub(desk),
        title="Rinse the mat",
        category=Category.GROUND,
        rules=EVERY_WEEK,
        starts_on=TODAY,
    )


def from_template(desk: Desk) -> TaskId:
    add_tub_with_plan(desk, TubProfile(name="North"))
    return next(t.id for t in task_list(desk) if t.title == "Swap the filter cartridge")


def test_a_task_of_ones_own_keeps_all_that_was_written(desk: Desk) -> None:
    supply = new_supply(desk, name="Soap", unit="ml", category=SpendCategory.OTHER)
    card = TaskCard(why="moss", who="Ben", steps=(Step(text="Brush", wait_after_h=2),))
    task = add_task(
        desk,
        replace(draft(desk), card=card, supplies={supply: 50_000}, usual_minor=120, reminds=False),
    )
    detail = task_detail(desk, task)
    assert (detail.card, detail.usual_minor, detail.reminds) == (card, 120, False)
    assert [(s.name, s.quantity_milli) for s in detail.supplies] == [("Soap", 50_000)]
    assert detail.own
    assert draft_of(detail).supplies == {supply: 50_000}


def test_a_changed_template_task_is_the_persons_own_and_undo_gives_it_back(desk: Desk) -> None:
    task = from_template(desk)
    before = facts(desk.store)
    detail = task_detail(desk, task)
    assert not detail.own
    change_task(desk, task, replace(draft_of(detail), reminds=False), revision=detail.revision)
    assert task_detail(desk, task).own
    assert task in {keep.task_id for keep in redraw(desk, detail.tub).untouched}
    undo(desk)
    assert facts(desk.store) == before


def test_keeping_a_task_as_it_was_changes_nothing(desk: Desk) -> None:
    task = from_template(desk)
    before = facts(desk.store)
    detail = task_detail(desk, task)
    change_task(desk, task, draft_of(detail), revision=detail.revision)
    assert facts(desk.store) == before


def test_of_two_people_changing_a_task_the_second_is_told(desk: Desk) -> None:
    task = from_template(desk)
    detail = task_detail(desk, task)
    change_task(desk, task, replace(draft_of(detail), title="Swap"), revision=detail.revision)
    with pytest.raises(RuleError, match="somebody else changed"):
        change_task(desk, task, draft_of(detail), revision=detail.revision)


def test_a_dropped_task_can_be_brought_back_with_its_history(desk: Desk) -> None:
    task = from_template(desk)
    record_work(desk, task, Work(), restarts=True)
    due = task_detail(desk, task).open
    drop_task(desk, task)
    assert [each.id for each in dropped_tasks(desk)] == [task]
    assert bring_back(desk, task) == "Swap the filter cartridge"
    assert dropped_tasks(desk) == ()
    assert task_detail(desk, task).open == due
    key = task_detail(desk, task).template_key
    assert key not in {p.template_key for p in offered(desk, task_detail(desk, task).tub)}


@pytest.mark.parametrize(
    ("rules", "field"),
    [
        ({"triggers": []}, "triggers"),
        ({"triggers": [{"kind": "elapsed", "every": 1, "period": "era"}]}, "period"),
        ({"triggers": [{"kind": "calendar", "rule": "FREQ=MONTHLY;BYDAY=9XX"}]}, "BYDAY"),
        ({"triggers": [{"kind": "calendar", "rule": "FREQ=SECONDLY"}]}, "FREQ"),
        ({"triggers": [{"kind": "reading", "when": "ph ~ 7"}]}, "comparison"),
    ],
)
def test_a_rule_that_cannot_be_used_names_its_part(
    desk: Desk, rules: dict[str, object], field: str
) -> None:
    with pytest.raises(InputError) as told:
        add_task(desk, replace(draft(desk), rules=rules))
    assert told.value.field == field


def test_absurd_amounts_and_empty_titles_are_refused(desk: Desk) -> None:
    given = draft(desk)
    with pytest.raises(OutOfRangeError):
        add_task(desk, replace(given, usual_minor=-1))
    with pytest.raises(InputError, match="write a name"):
        add_task(desk, replace(given, title="  "))
    with pytest.raises(OutOfRangeError):
        add_task(desk, replace(given, rules=EVERY_WEEK | {"minutes": 10**6}))
    assert task_list(desk) == ()
