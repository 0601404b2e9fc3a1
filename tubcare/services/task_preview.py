"""What an edited task would bring, before it is kept: what is wrong with it, its next dates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.care.forecast import forecast
from tubcare.care.model import ReadingTrigger, UseTrigger
from tubcare.care.trigger_data import trigger_from_data
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.facts import plan_of_one
from tubcare.services.task_edits import NEW_TASK, TaskDraft, task_from

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.model import Occurrence, Scope, Task
    from tubcare.care.triggers import Trigger
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

DATES = 5
#: Tried one after the other, so that a daily task is not rolled forward for decades.
HORIZONS_DAYS = (45, 400, 1_830, 7_320, 18_300)
UNNAMED = "…"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What cannot be used; `trigger` is the place of the rule that it is in, None for the rest."""

    trigger: int | None
    error: InputError | OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """The rules of an edited task and its next dates; none while `faults` stand against it.

    `waits_for_use` and `waits_for_reading` say what else may make it due, at a date that cannot
    be told.
    """

    faults: tuple[Fault, ...]
    triggers: tuple[Trigger, ...]
    scope: Scope | None
    dates: tuple[Occurrence, ...]
    today: date | None
    waits_for_use: bool = False
    waits_for_reading: bool = False


def preview(desk: Desk, draft: TaskDraft, task: TaskId = NEW_TASK) -> Preview:
    """Return what a draft would bring, worked out by the care engine from the facts on record."""
    faults = _rule_faults(draft)
    if not faults:
        try:
            # A title is asked for when the task is kept, not while it is being written.
            built = task_from(replace(draft, title=draft.title.strip() or UNNAMED), task)
        except (InputError, OutOfRangeError) as error:
            faults = (Fault(trigger=None, error=error),)
        else:
            return _of(desk, built)
    return Preview(faults=faults, triggers=(), scope=None, dates=(), today=None)


def _rule_faults(draft: TaskDraft) -> tuple[Fault, ...]:
    faults = []
    for place, data in enumerate(draft.rules["triggers"]):
        try:
            trigger_from_data(data, starts_on=draft.starts_on)
        except (InputError, OutOfRangeError) as error:
            faults.append(Fault(trigger=place, error=error))
    return tuple(faults)


def _of(desk: Desk, task: Task) -> Preview:
    with desk.read() as connection:
        plan = plan_of_one(connection, desk.now(), task)
    tub = plan.tubs[task.tub_id]
    today = desk.today(tub.zone)
    dates: list[Occurrence] = []
    for days in HORIZONS_DAYS:
        until = today + timedelta(days=days)
        dates = forecast((task,), plan.facts, {tub.id: tub.facts}, today, until)
        if len(dates) >= DATES:
            break
    return Preview(
        faults=(),
        triggers=task.triggers,
        scope=task.scope,
        dates=tuple(dates[:DATES]),
        today=today,
        waits_for_use=any(isinstance(t, UseTrigger) for t in task.triggers),
        waits_for_reading=any(isinstance(t, ReadingTrigger) for t in task.triggers),
    )
