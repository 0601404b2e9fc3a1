"""Ticking a step of the dosing plan, and with the last one the task that asked for it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.errors import InputError
from tubcare.services.facts import read_plan
from tubcare.services.household import ensure_person
from tubcare.services.measures import tub_named
from tubcare.services.moments import moment_of
from tubcare.services.topics import Topic
from tubcare.services.upkeep_closing import close_as_done
from tubcare.services.water_due import asked_of, open_steps
from tubcare.services.water_plan import plan_in
from tubcare.services.water_plan_model import CutShort, TickedStep
from tubcare.services.water_steps import StepRecord, record_step, require_next
from tubcare.services.week import due_items

if TYPE_CHECKING:
    from datetime import date, datetime, time

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_plan_model import PlannedStep, WaterPlan
    from tubcare.services.week import DueItem
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

STEP_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP, Topic.MONEY, Topic.STOCK})


def do_step(
    desk: Desk,
    tub: TubId | str | None,
    number: int,
    *,
    test_at: datetime | None = None,
    on: date | None = None,
    at: time | None = None,
) -> TickedStep:
    """Record that a step of the plan was done, with its dose, stock, cost and waits.

    The last step that a due task asks for ticks off that task too; a new test may bring it back.
    A step that was done before the wait of the one before it was over is recorded all the same.

    Parameters
    ----------
    number
        As shown in the plan; the steps come one after the other.
    test_at
        The test that the shown plan stands on, so that a step of an old plan is not ticked.
    on, at
        The local day and time at which it was done, as `moment_of` takes them; waits count from
        there. Without a time it was at noon, or right after the test or step before it.

    Raises
    ------
    StepDoneError, RuleError, InputError
        See `require_next`; also when that moment is yet to come, or before the test or a step.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    now = desk.now()
    with desk.write("plan_step", place.name, STEP_TOPICS) as unit:
        plan = plan_in(unit.connection, place, now)
        planned = require_next(plan, number, test_at)
        assert plan.test_at is not None  # noqa: S101  a plan with steps stands on a test
        who = ensure_person(unit, desk.actor)
        day, moment = _done_at(desk, plan, on, at)
        record = StepRecord(tub=place.id, at=moment, on=day, person=who)
        finished = _finished(desk, unit, place, plan, planned)
        if finished is not None:
            completion = close_as_done(
                desk, unit, finished.task, finished.occurrence, when=(day, moment)
            )
            record = replace(record, completion=completion, task=finished.task)
        record_step(unit, plan.test_at, planned, record)
    return TickedStep(
        planned=planned, cut_short=_cut_short(plan, moment, now, told=at is not None)
    )


def _cut_short(plan: WaterPlan, moment: datetime, now: datetime, *, told: bool) -> CutShort | None:
    """Return the wait that ran at the moment of a step, the longest one.

    A wait that is over is held against it only where its time of day was told.
    """
    waits = [
        CutShort(after=each.number, until=each.done.ready_at, is_over=each.done.ready_at <= now)
        for each in plan.steps
        if each.done is not None and each.done.ready_at > moment
    ]
    wait = max(waits, key=lambda each: each.until, default=None)
    return None if wait is None or (wait.is_over and not told) else wait


def _done_at(
    desk: Desk, plan: WaterPlan, on: date | None, at: time | None
) -> tuple[date, datetime]:
    """Return the local day and the instant of a step, after the test and what was done since."""
    zone = ZoneInfo(plan.tub.zone)
    if on is None and at is not None:
        on = desk.today(plan.tub.zone)
    moment = moment_of(desk, plan.tub.zone, on, at)
    earliest = plan.earliest
    if earliest is not None and moment < earliest:
        if at is not None or on != earliest.astimezone(zone).date():
            raise InputError(
                "date" if at is None else "time of day",
                "that is before the test, or before the step that comes first; choose a later "
                "moment",
            )
        moment = earliest
    return moment.astimezone(zone).date(), moment


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
