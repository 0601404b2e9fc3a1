"""Doing the work: tick off, skip, put off, tick a step."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from sqlalchemy import bindparam, select

from tubcare.care.due_base import view_of
from tubcare.care.facts import NO_FACTS
from tubcare.care.model import (
    Category,
    Closing,
    Occurrence,
    Outcome,
    ReadingReason,
    SeasonTrigger,
    Status,
    TaskFacts,
    UseTrigger,
)
from tubcare.care.occurrences import closes_coming, occurrence, open_occurrence
from tubcare.care.plan_card import card_from_data
from tubcare.errors import (
    AlreadyDoneError,
    InputError,
    NotFoundError,
    RuleError,
)
from tubcare.services import fields
from tubcare.services.dependents import require_unreferenced
from tubcare.services.facts import Plan, read_plan
from tubcare.services.follow_ups import FollowUpTask, open_follow_up
from tubcare.services.household import ensure_person
from tubcare.services.moments import happened_at, moment_of
from tubcare.services.spending import spend_category
from tubcare.services.topics import Topic
from tubcare.services.tubs import insert_state, last_state
from tubcare.store.tables import (
    CompletionRow,
    EntryRow,
    PersonRow,
    PutOffRow,
    StepTickRow,
    TaskRow,
    TaskSupplyRow,
    UseRow,
)
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, SupplyId, TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime, time

    from sqlalchemy import Connection

    from tubcare.care.due_base import View
    from tubcare.care.model import InspectionResult, Task, TubState
    from tubcare.services.desk import Desk
    from tubcare.services.facts import TubRecord
    from tubcare.store.unit import Unit

UPKEEP_TOPICS = frozenset({Topic.UPKEEP, Topic.MONEY, Topic.STOCK, Topic.TUBS})
PUT_OFFS_THAT_ASK = 2

_USUAL = table_of(TaskSupplyRow)
_USUAL_USES = select(_USUAL.c.supply_id, _USUAL.c.quantity_milli).where(
    _USUAL.c.task_id == bindparam("of")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What was done, beyond the plain tick; None everywhere means as usual.

    `uses` maps supplies to thousandths of their unit; `cost_minor` is money paid besides stock.
    """

    on: date | None = None
    person: str | None = None
    minutes: int | None = None
    note: str = ""
    result: InspectionResult | None = None
    uses: Mapping[SupplyId, int] | None = None
    cost_minor: int | None = None


AS_USUAL = Work()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What a tick, skip or put-off recorded, and what comes next.

    `entered` is the state that the tub entered with it, as at the end of the closing procedure;
    `follow_up` the single task that the result of an inspection opened.
    """

    task: TaskId
    title: str
    completion: CompletionId | None
    on: date
    cost_minor: int
    uses: Mapping[SupplyId, int] = field(default_factory=dict)
    next_due: date | None = None
    asks_longer_interval: bool = False
    entered: TubState | None = None
    follow_up: FollowUpTask | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    task: Task
    tub: TubRecord
    plan: Plan
    today: View
    open: Occurrence | None


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
        case = _case(desk, unit, task)
        return _done(desk, unit, case, _require_open(unit.connection, case, key), work)


def tick_round(desk: Desk, name: str, items: Sequence[tuple[TaskId, str]]) -> tuple[Ticked, ...]:
    """Tick off the tasks of a round as usual, all of them or none; raises like `tick_off`."""
    with desk.write("tick_round", name, UPKEEP_TOPICS) as unit:
        ticked = []
        for task, key in items:
            case = _case(desk, unit, task)
            open_one = _require_open(unit.connection, case, key)
            ticked.append(_done(desk, unit, case, open_one, AS_USUAL))
        return tuple(ticked)


def record_work(desk: Desk, task: TaskId, work: Work, *, restarts: bool | None = None) -> Ticked:
    """Record work entered freely: it closes the coming occurrence inside its window.

    Parameters
    ----------
    restarts
        The person's answer, outside the window: True closes the coming occurrence, False records
        extra work that leaves the clock alone, None asks by raising.

    Raises
    ------
    EarlyWorkError
        Outside the window while `restarts` is None.
    """
    with desk.write("tick_off", "", UPKEEP_TOPICS) as unit:
        return insert_work(desk, unit, task, work, restarts=restarts)


def insert_work(
    desk: Desk, unit: Unit, task: TaskId, work: Work, *, restarts: bool | None = None
) -> Ticked:
    """Record work inside a running use case; raises like `record_work`."""
    case = _case(desk, unit, task)
    on, _at = happened_at(desk, case.tub.zone, work.on)
    # What was open on the day of the work, so that dated-back work closes its own date.
    facts = case.plan.facts.get(task)
    then = occurrence(case.task, facts, case.tub.facts, on)
    if then is None:
        return _done(desk, unit, case, None, work)
    inside = closes_coming(then, on)
    if not inside and restarts is None:
        raise EarlyWorkError(case.task.title, then.opens_on)
    return _done(desk, unit, case, then if inside or restarts else None, work)


def insert_tick(
    desk: Desk, unit: Unit, plan: Plan, task: Task, work: Work = AS_USUAL
) -> CompletionId:
    """Record inside a running use case that what a plan just read shows open was done.

    It says nothing of what comes next, and the tub stays in its state.
    """
    tub = plan.tubs[task.tub_id]
    today = view_of(tub.facts, desk.today(tub.zone))
    found = open_occurrence(task, plan.facts.get(task.id) or NO_FACTS, today)
    case = _Case(task=task, tub=tub, plan=plan, today=today, open=found)
    closing, _cost, _uses = _record(desk, unit, case, found, work)
    if work.result is not None:
        open_follow_up(unit, task, work.result, closing.on)
    return closing.id


class EarlyWorkError(RuleError):
    """Work lies before the window of the coming occurrence; the person decides what it means."""

    def __init__(self, title: str, opens_on: date) -> None:
        self.title = title
        self.opens_on = opens_on
        super().__init__(
            f"“{title}” is not due before {opens_on}; say whether its clock starts anew"
        )


def skip(desk: Desk, task: TaskId, key: str, reason: str) -> Ticked:
    """Drop one occurrence with a reason; raises like `tick_off`."""
    why = fields.note_text(reason).strip()
    if not why:
        raise InputError("reason", "write why it is skipped")
    with desk.write("skip", "", UPKEEP_TOPICS) as unit:
        case = _case(desk, unit, task)
        open_one = _require_open(unit.connection, case, key)
        on, at = happened_at(desk, case.tub.zone, None)
        closing = _close(desk, unit, case, open_one, Outcome.SKIPPED, on, at, Work(note=why))
        return _ticked(desk, unit, case, closing, 0, {})


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
    case = _case(desk, unit, task)
    open_one = _require_open(unit.connection, case, key)
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
    moved = _read_case(desk, unit.connection, task).open
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


def tick_step(
    desk: Desk,
    task: TaskId,
    key: str,
    step: int,
    *,
    on: date | None = None,
    at: time | None = None,
) -> None:
    """Record that one step of a procedure was done; ticking it again changes nothing.

    Parameters
    ----------
    step
        Its place, counted from 0.
    on, at
        The local day and time at which it was done, as `moment_of` takes them. Waiting times
        count from there.
    """
    with desk.write("tick_step", "", frozenset({Topic.UPKEEP})) as unit:
        case = _case(desk, unit, task)
        _require_open(unit.connection, case, key)
        who = ensure_person(unit, desk.actor)
        unit.add_once(
            StepTickRow,
            ("task_id", "key", "step"),
            task_id=task,
            key=key,
            step=step,
            at=moment_of(desk, case.tub.zone, on, at),
            person_id=who,
        )


def untick_step(desk: Desk, task: TaskId, key: str, step: int) -> None:
    """Take back the tick of one step of an open occurrence.

    Raises
    ------
    DependentFactError
        When the occurrence was closed since.
    """
    table = table_of(StepTickRow)
    with desk.write("untick_step", "", frozenset({Topic.UPKEEP})) as unit:
        unit.subject = _title(unit.connection, task)
        found = unit.connection.execute(
            select(table.c.id).where(
                table.c.task_id == task, table.c.key == key, table.c.step == step
            )
        ).scalar()
        if found is not None:
            require_unreferenced(unit.connection, table, found, "this step")
            unit.remove(StepTickRow, found)


def ticked_steps(desk: Desk, task: TaskId, key: str) -> dict[int, datetime]:
    """Return when each ticked step of an occurrence was done."""
    table = table_of(StepTickRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table.c.step, table.c.at).where(table.c.task_id == task, table.c.key == key)
        ).all()
    return {row.step: row.at for row in rows}


def _case(desk: Desk, unit: Unit, task: TaskId) -> _Case:
    """Read what decides about one task, which is the unit's subject unless it has one."""
    case = _read_case(desk, unit.connection, task)
    unit.subject = unit.subject or case.task.title
    return case


def _read_case(desk: Desk, connection: Connection, task: TaskId) -> _Case:
    plan = read_plan(connection, desk.now(), only=task)
    if not plan.tasks:
        raise NotFoundError("task", task)
    known = plan.tasks[0]
    tub = plan.tubs[known.tub_id]
    facts = plan.facts.get(task)
    today = view_of(tub.facts, desk.today(tub.zone))
    found = open_occurrence(known, facts or NO_FACTS, today)
    return _Case(task=known, tub=tub, plan=plan, today=today, open=found)


def _require_open(connection: Connection, case: _Case, key: str) -> Occurrence:
    if case.open is not None and case.open.key == key and case.open.status is not Status.ASLEEP:
        return case.open
    _require_unclosed(connection, case, key)
    if case.open is not None and case.open.key == key:
        return case.open
    raise RuleError(f"“{case.task.title}” is no longer due like that; look at this week again")


def _require_unclosed(connection: Connection, case: _Case, key: str) -> None:
    """Tell who closed an occurrence and when, where somebody did."""
    done, person = table_of(CompletionRow), table_of(PersonRow)
    row = connection.execute(
        select(done.c.at, person.c.name)
        .outerjoin(person, person.c.id == done.c.person_id)
        .where(done.c.task_id == case.task.id, done.c.key == key)
    ).first()
    if row is not None:
        raise AlreadyDoneError(case.task.title, row.name or "somebody", row.at)


def _done(desk: Desk, unit: Unit, case: _Case, closed: Occurrence | None, work: Work) -> Ticked:
    closing, cost, uses = _record(desk, unit, case, closed, work)
    ticked = _ticked(desk, unit, case, closing, cost, uses)
    if work.result is not None:
        follow_up = open_follow_up(unit, case.task, work.result, closing.on)
        ticked = replace(ticked, follow_up=follow_up)
    entered = None if closed is None else _enter(unit, case, closing.on)
    if entered is None:
        return ticked
    # What comes next stands on the state that the tub is in from now on.
    after = _case(desk, unit, case.task.id)
    due = None if after.open is None else after.open.due_on
    return replace(ticked, next_due=due, entered=entered)


def _record(
    desk: Desk, unit: Unit, case: _Case, closed: Occurrence | None, work: Work
) -> tuple[Closing, int, Mapping[SupplyId, int]]:
    """Write the closing with its uses and its cost; return all three."""
    on, at = happened_at(desk, case.tub.zone, work.on)
    closing = _close(desk, unit, case, closed, Outcome.DONE, on, at, work)
    planned = _planned(desk, unit, case, closed, closing, work)
    uses = _usual_uses(unit.connection, case.task.id) if work.uses is None else dict(work.uses)
    for supply, quantity in (uses if planned is None else {}).items():
        fields.quantity("quantity_milli", quantity, 1, 10**9)
        unit.add(
            UseRow,
            on_date=on,
            kind="used",
            supply_id=supply,
            quantity_milli=quantity,
            tub_id=case.tub.id,
            task_id=case.task.id,
            completion_id=closing.id,
        )
    usual = case.plan.usual_minor.get(case.task.id, 0)
    cost = usual if work.cost_minor is None else work.cost_minor
    if cost:
        fields.quantity("minor", cost, 1, 10**12)
        unit.add(
            EntryRow,
            on_date=on,
            kind="direct",
            category=spend_category(case.task.category).value,
            minor=cost,
            tub_id=case.tub.id,
            task_id=case.task.id,
            completion_id=closing.id,
        )
    return closing, cost, uses if planned is None else planned


def close_as_done(desk: Desk, unit: Unit, task: TaskId, closed: Occurrence) -> CompletionId:
    """Record, inside a running use case, that an occurrence was done by other means."""
    case = _case(desk, unit, task)
    on, at = happened_at(desk, case.tub.zone, None)
    return _close(desk, unit, case, closed, Outcome.DONE, on, at, AS_USUAL).id


def _planned(
    desk: Desk,
    unit: Unit,
    case: _Case,
    closed: Occurrence | None,
    closing: Closing,
    work: Work,
) -> dict[SupplyId, int] | None:
    """Record the dose that was worked out for a task, None where there is none."""
    if closed is None or not isinstance(closed.reason, ReadingReason):
        return None
    if work.uses is not None or work.on is not None or closing.at is None:
        return None
    # Loaded for these ticks alone: the chemistry would slow down all others.
    from tubcare.services.water_steps import StepRecord  # noqa: PLC0415  see above
    from tubcare.services.water_tick import record_planned  # noqa: PLC0415  see above

    record = StepRecord(
        at=closing.at,
        on=closing.on,
        person=ensure_person(unit, work.person or desk.actor),
        completion=closing.id,
        task=case.task.id,
    )
    return record_planned(desk, unit, case.tub.id, closed, record)


def _enter(unit: Unit, case: _Case, on: date) -> TubState | None:
    """Bring the tub into the state that the task ends in; facts of a later day stand."""
    turns = any(isinstance(trigger, SeasonTrigger) for trigger in case.task.triggers)
    if not turns and case.task.category is not Category.SEASON:
        # No card needs to be read for the daily upkeep.
        return None
    table = table_of(TaskRow)
    data = unit.connection.execute(
        select(table.c.card).where(table.c.id == case.task.id)
    ).scalar_one()
    state = card_from_data(data).enters
    if state is None:
        return None
    last = last_state(unit.connection, case.tub.id)
    if last is not None and (last.on_date > on or last.state == state.value):
        return None
    # The title tells where the change comes from, and finds it when the record is deleted.
    insert_state(unit, case.tub.id, state, on, case.task.title)
    return state


def _close(  # noqa: PLR0913, PLR0917  one row, one place that writes it
    desk: Desk,
    unit: Unit,
    case: _Case,
    closed: Occurrence | None,
    outcome: Outcome,
    on: date,
    at: datetime,
    work: Work,
) -> Closing:
    """Keep a completion and return it; the key of extra work is empty."""
    if work.minutes is not None:
        fields.quantity("minutes", work.minutes, 0, 10_080)
    who = ensure_person(unit, work.person or desk.actor)
    due = closed.due_on if closed is not None else None
    late = closed.late_after if closed is not None else None
    anchor = closed.anchor_day if closed is not None else None
    new_id = unit.add_once(
        CompletionRow,
        ("task_id", "key"),
        task_id=case.task.id,
        key=closed.key if closed is not None else None,
        outcome=outcome.value,
        on_date=on,
        at=at,
        person_id=who,
        due_on=due,
        on_time=late is None or on <= late,
        missed=len(closed.missed) if closed is not None else 0,
        anchor_day=anchor,
        minutes=work.minutes,
        result=work.result.value if work.result is not None else None,
        note=fields.note_text(work.note),
    )
    if new_id is None:
        # Somebody was faster between the look and the write.
        _require_unclosed(unit.connection, case, "" if closed is None else closed.key)
        raise RuleError(f"“{case.task.title}” was closed at the same moment; look again")
    return Closing(
        id=CompletionId(new_id),
        key=closed.key if closed is not None else "",
        outcome=outcome,
        on=on,
        at=at,
        due_on=due,
        result=work.result,
        anchor_day=anchor,
    )


def _ticked(
    desk: Desk,
    unit: Unit,
    case: _Case,
    closing: Closing,
    cost: int,
    uses: Mapping[SupplyId, int],
) -> Ticked:
    coming = _after(desk, unit.connection, case, closing)
    return Ticked(
        task=case.task.id,
        title=case.task.title,
        completion=closing.id,
        on=closing.on,
        cost_minor=cost,
        uses=dict(uses),
        next_due=None if coming is None else coming.due_on,
    )


def _after(desk: Desk, connection: Connection, case: _Case, closing: Closing) -> Occurrence | None:
    """Return what comes after a completion, from what the case has read already."""
    if not closing.key or any(isinstance(t, UseTrigger) for t in case.task.triggers):
        return _read_case(desk, connection, case.task.id).open
    return open_occurrence(case.task, TaskFacts(closing=closing), case.today)


def _usual_uses(connection: Connection, task: TaskId) -> dict[SupplyId, int]:
    rows = connection.execute(_USUAL_USES, {"of": task})
    return {SupplyId(row.supply_id): row.quantity_milli for row in rows}


def _title(connection: Connection, task: TaskId) -> str:
    table = table_of(TaskRow)
    found = connection.execute(select(table.c.title).where(table.c.id == task)).scalar()
    if found is None:
        raise NotFoundError("task", task)
    return str(found)
