"""Changing a planned task before the plan is saved, and planning a task of one's own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.care.first_dates import needs_first_date
from tubcare.care.model import ElapsedTrigger
from tubcare.care.plan import PlannedTask
from tubcare.care.plan_card import TaskCard
from tubcare.care.terms import Category, OutOfScope, Scope
from tubcare.care.trigger_data import interval_to_data
from tubcare.errors import InputError

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.model import Interval

OWN_MINUTES = 10


def interval_of(planned: PlannedTask) -> Interval | None:
    """Return the interval of a task that counts from its last time, None for other tasks."""
    found = (t.every for t in planned.task().triggers if isinstance(t, ElapsedTrigger))
    return next(found, None)


def has_first_date(planned: PlannedTask) -> bool:
    """Return whether the first date of a task is chosen, and not said by its triggers alone."""
    return needs_first_date(planned.task())


def edited(
    planned: PlannedTask, *, title: str, every: Interval | None, first_due_on: date | None
) -> PlannedTask:
    """Return a planned task with another title, interval and first date.

    Parameters
    ----------
    every
        Replaces the interval of `interval_of`; None leaves all triggers as they are.
    first_due_on
        The first date; None leaves it as it is.

    Raises
    ------
    InputError
        For an empty title, or a first date before the plan begins.
    """
    name = title.strip()
    if not name:
        raise InputError("title", "write a name")
    if first_due_on is not None and first_due_on < planned.starts_on:
        raise InputError("first_due_on", "the plan begins today; write that day or a later one")
    rules = dict(planned.rules)
    if every is not None:
        rules["triggers"] = _with_interval(rules["triggers"], every)
    return replace(
        planned,
        title=name,
        rules=rules,
        first_due_on=planned.first_due_on if first_due_on is None else first_due_on,
    )


def own_task(*, title: str, every: Interval, today: date) -> PlannedTask:
    """Return a task of the person's own, first due today; raise `InputError` without a title."""
    name = title.strip()
    if not name:
        raise InputError("title", "write a name")
    return PlannedTask(
        template_key="",
        title=name,
        category=Category.OTHER,
        rules={
            "triggers": [{"kind": "elapsed", **interval_to_data(every)}],
            "scope": Scope.ALWAYS.value,
            "out_of_scope": OutOfScope.MOVE_TO_START.value,
            "minutes": OWN_MINUTES,
        },
        card=TaskCard(),
        starts_on=today,
        first_due_on=today,
        offered_on=today,
        starter=True,
        asks_last_done=False,
    )


def _with_interval(triggers: object, every: Interval) -> list[object]:
    assert isinstance(triggers, list)  # noqa: S101  rules of a planned task were read before
    first = next(at for at, each in enumerate(triggers) if each.get("kind") == "elapsed")
    changed = {**triggers[first], **interval_to_data(every)}
    return [*triggers[:first], changed, *triggers[first + 1 :]]
