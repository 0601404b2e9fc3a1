"""Ticking off what is listed: one task, a round, or inside another use case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.follow_ups import open_follow_up
from tubcare.services.upkeep_case import case_in, case_of, require_open
from tubcare.services.upkeep_done import record_done, write_work
from tubcare.services.upkeep_model import AS_USUAL, UPKEEP_TOPICS, Ticked, Work

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.care.model import Task
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan
    from tubcare.store.unit import Unit
    from tubcare.values import CompletionId, TaskId


def tick_off(desk: Desk, task: TaskId, key: str, work: Work = AS_USUAL) -> Ticked:
    """Record that a listed occurrence was done, with its usual supplies and cost.

    Raises
    ------
    AlreadyDoneError
        When somebody closed it first, telling who and when.
    RuleError
        When the key names no open occurrence.
    InputError, OutOfRangeError
        When a field cannot be right.
    """
    with desk.write("tick_off", "", UPKEEP_TOPICS) as unit:
        case = case_of(desk, unit, task)
        return record_done(desk, unit, case, require_open(unit.connection, case, key), work)


def tick_round(desk: Desk, name: str, items: Sequence[tuple[TaskId, str]]) -> tuple[Ticked, ...]:
    """Tick off the tasks of a round as usual, all of them or none; raises like `tick_off`."""
    with desk.write("tick_round", name, UPKEEP_TOPICS) as unit:
        ticked = []
        for task, key in items:
            case = case_of(desk, unit, task)
            open_one = require_open(unit.connection, case, key)
            ticked.append(record_done(desk, unit, case, open_one, AS_USUAL))
        return tuple(ticked)


def insert_tick(
    desk: Desk, unit: Unit, plan: Plan, task: Task, work: Work = AS_USUAL
) -> CompletionId:
    """Record inside a running use case that what a plan just read shows open was done.

    It says nothing of what comes next, and the tub stays in its state.
    """
    case = case_in(desk, plan, task)
    closing, _cost, _uses = write_work(desk, unit, case, case.open, work)
    if work.result is not None:
        open_follow_up(unit, task, work.result, closing.on)
    return closing.id
