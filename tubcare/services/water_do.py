"""Ticking a step of the dosing plan, and with the last one the task that asked for it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.services.facts import read_plan
from tubcare.services.household import ensure_person
from tubcare.services.measures import tub_named
from tubcare.services.moments import happened_at
from tubcare.services.topics import Topic
from tubcare.services.upkeep_closing import close_as_done
from tubcare.services.water_due import asked_of, open_steps
from tubcare.services.water_plan import plan_in
from tubcare.services.water_steps import StepRecord, record_step, require_next
from tubcare.services.week import due_items

if TYPE_CHECKING:
    from datetime import datetime

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_plan_model import PlannedStep, WaterPlan
    from tubcare.services.week import DueItem
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

STEP_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP, Topic.MONEY, Topic.STOCK})


def do_step(
    desk: Desk, tub: TubId | str | None, number: int, *, test_at: datetime | None = None
) -> PlannedStep:
    """Record that a step of the plan was done just now, with its dose, stock, cost and waits.

    The last step that a due task asks for ticks off that task too; a new test may bring it back.

    Parameters
    ----------
    number
        As shown in the plan; the steps come one after the other.
    test_at
        The test that the shown plan stands on, so that a step of an old plan is not ticked.

    Raises
    ------
    AlreadyDoneError, RuleError, InputError
        See `require_next`.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    now = desk.now()
    day, _at = happened_at(desk, place.zone, None)
    with desk.write("plan_step", place.name, STEP_TOPICS) as unit:
        plan = plan_in(unit.connection, place, now)
        planned = require_next(plan, number, test_at)
        assert plan.test_at is not None  # noqa: S101  a plan with steps stands on a test
        who = ensure_person(unit, desk.actor)
        record = StepRecord(tub=place.id, at=now, on=day, person=who)
        finished = _finished(desk, unit, place, plan, planned)
        if finished is not None:
            completion = close_as_done(desk, unit, finished.task, finished.occurrence)
            record = replace(record, completion=completion, task=finished.task)
        record_step(unit, plan.test_at, planned, record)
    return planned


def _finished(
    desk: Desk, unit: Unit, place: TubPlace, plan: WaterPlan, planned: PlannedStep
) -> DueItem | None:
    """Return the due task that this step is the last work of.

    The waits of the steps before it keep the reading from asking, but not its task from being the
    work in hand: they are left out here.
    """
    known = read_plan(unit.connection, desk.now())
    tub = known.tubs[place.id]
    waiting = replace(tub, facts=replace(tub.facts, settles_at={}))
    tasks = tuple(task for task in known.tasks if task.tub_id == place.id)
    for item in due_items(desk, replace(known, tasks=tasks, tubs={place.id: waiting})):
        left = open_steps(plan, asked_of(item.occurrence))
        if [each.number for each in left] == [planned.number]:
            return item
    return None
