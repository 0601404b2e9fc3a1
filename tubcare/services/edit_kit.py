"""What the editor of a task works with: the task as it is, and what can be chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.model import Category
from tubcare.errors import RuleError
from tubcare.services.household import people
from tubcare.services.task_edits import NEW_TASK, TaskDraft, draft_of
from tubcare.services.tasks import task_detail
from tubcare.services.tubs import tubs
from tubcare.services.work_kit import supply_choices

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.services.work_kit import SupplyChoice
    from tubcare.values import TaskId, TubId

FIRST_RULE = {"kind": "elapsed", "every": 30, "period": "day"}


@dataclass(frozen=True, slots=True, kw_only=True)
class EditKit:
    """A task to be changed or added. `task` is `NEW_TASK` for one that is added."""

    task: TaskId
    draft: TaskDraft
    revision: int
    from_template: bool
    tubs: tuple[tuple[TubId, str], ...]
    people: tuple[str, ...]
    supplies: tuple[SupplyChoice, ...]
    today: date

    @property
    def is_new(self) -> bool:
        """Whether the task is not in the plan yet."""
        return self.task == NEW_TASK


def edit_kit(desk: Desk, task: TaskId | None) -> EditKit:
    """Return what editing needs; None begins a task of the person's own.

    Raises
    ------
    NotFoundError
        When the task is gone.
    RuleError
        When there is no tub that a new task could belong to.
    """
    known = tubs(desk)
    if not known:
        raise RuleError("there is no tub yet; add one first, then its tasks")
    if task is None:
        today = desk.today(known[0].zone)
        draft = TaskDraft(
            tub=known[0].id,
            title="",
            category=Category.OTHER,
            rules={"triggers": [FIRST_RULE]},
            starts_on=today,
            supplies={},
        )
        revision, from_template = 0, False
    else:
        detail = task_detail(desk, task)
        draft, today = draft_of(detail), detail.today
        revision, from_template = detail.revision, not detail.own
    return EditKit(
        task=NEW_TASK if task is None else task,
        draft=draft,
        revision=revision,
        from_template=from_template,
        tubs=tuple((tub.id, tub.name) for tub in known),
        people=tuple(person.name for person in people(desk) if person.active),
        supplies=supply_choices(desk, set(draft.supplies or {})),
        today=today,
    )
