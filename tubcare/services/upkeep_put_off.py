"""What is not done this time: skipped with a reason, or put off to a later date."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.model import Outcome
from tubcare.errors import InputError, RuleError
from tubcare.services import fields
from tubcare.services.household import ensure_person
from tubcare.services.moments import happened_at
from tubcare.services.upkeep_case import case_of, read_case, require_open
from tubcare.services.upkeep_closing import close_occurrence, ticked_from
from tubcare.services.upkeep_model import UPKEEP_TOPICS, Ticked, Work
from tubcare.store.tables import PutOffRow

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TaskId

PUT_OFFS_THAT_ASK = 2


def skip(desk: Desk, task: TaskId, key: str, reason: str) -> Ticked:
    """Drop one occurrence with a reason; raises like `tick_off`."""
    why = fields.note_text(reason).strip()
    if not why:
        raise InputError("reason", "write why it is skipped")
    with desk.write("skip", "", UPKEEP_TOPICS) as unit:
        case = case_of(desk, unit, task)
        open_one = require_open(unit.connection, case, key)
        on, at = happened_at(desk, case.tub.zone, None)
        closing = close_occurrence(
            desk, unit, case, open_one, Outcome.SKIPPED, on, at, Work(note=why)
        )
        return ticked_from(desk, unit, case, closing, 0, {})


def put_off(desk: Desk, task: TaskId, key: str, to: date, reason: str = "") -> Ticked:
    """Move one occurrence to a later date, keeping its key; raises like `tick_off`.

    Raises
    ------
    RuleError
        For an occurrence that a reading asks for: the water decides, not the calendar.
    """
    with desk.write("put_off", "", UPKEEP_TOPICS) as unit:
        return _put_off(desk, unit, task, key, to, reason)


def put_off_round(
    desk: Desk, name: str, items: Sequence[tuple[TaskId, str]], to: date
) -> tuple[Ticked, ...]:
    """Move the tasks of a round to one date, all of them or none; raises like `put_off`."""
    with desk.write("put_off", name, UPKEEP_TOPICS) as unit:
        return tuple(_put_off(desk, unit, task, key, to, "") for task, key in items)


def _put_off(desk: Desk, unit: Unit, task: TaskId, key: str, to: date, reason: str) -> Ticked:
    case = case_of(desk, unit, task)
    open_one = require_open(unit.connection, case, key)
    today = desk.today(case.tub.zone)
    if to <= today:
        raise InputError("date", f"{to} is not ahead; choose a date after {today}")
    who = ensure_person(unit, desk.actor)
    unit.add(
        PutOffRow,
        task_id=task,
        key=key,
        to_date=fields.day("date", to),
        made_on=today,
        person_id=who,
        reason=fields.note_text(reason),
    )
    moved = read_case(desk, unit.connection, task).open
    if moved is None or moved.due_on != to:
        raise RuleError(
            f"“{case.task.title}” cannot wait until {to}: what makes it due stands above the "
            "calendar"
        )
    return Ticked(
        task=task,
        title=case.task.title,
        completion=None,
        on=today,
        cost_minor=0,
        next_due=to,
        asks_longer_interval=open_one.put_offs + 1 >= PUT_OFFS_THAT_ASK,
    )
