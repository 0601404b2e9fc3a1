"""Reads from the logbook what decides what is due; the cost does not grow with the history."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import exists, func, select

from tubcare.care.model import (
    Category,
    Closing,
    Counter,
    InspectionResult,
    Outcome,
    PutOff,
    Reading,
    ReadingTrigger,
    SeasonPlan,
    StateChange,
    Task,
    TaskFacts,
    TubFacts,
    TubState,
    UseTrigger,
)
from tubcare.care.profile import profile_from_data
from tubcare.care.trigger_data import rules_from_data
from tubcare.services.counters import Counters
from tubcare.services.moments import start_of
from tubcare.services.ranges import ranges_of
from tubcare.store.tables import (
    CompletionRow,
    DoseRow,
    PutOffRow,
    ReadingRow,
    StateChangeRow,
    TaskRow,
    TubRow,
)
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy import Connection, Row

    from tubcare.values import TubProfile

READING_MEMORY = timedelta(days=400)
SETTLING_MEMORY = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubRecord:
    """A tub as stored, with what is on record about it."""

    id: TubId
    name: str
    zone: str
    profile: TubProfile
    facts: TubFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything that the care engine needs, read in one transaction."""

    tasks: tuple[Task, ...]
    facts: Mapping[TaskId, TaskFacts]
    tubs: Mapping[TubId, TubRecord]
    usual_minor: Mapping[TaskId, int]
    reminds: Mapping[TaskId, bool]

    @property
    def tub_facts(self) -> dict[TubId, TubFacts]:
        """What is on record about each tub."""
        return {tub.id: tub.facts for tub in self.tubs.values()}


def read_plan(connection: Connection, now: datetime, *, only: TaskId | None = None) -> Plan:
    """Return all active tasks and the facts about them; `only` reads one task alone."""
    tasks, usual, reminds = read_tasks(connection, only=only)
    uses = _use_triggers(tasks)
    closings = _closings(connection, only)
    tub = tasks[0].tub_id if only is not None and tasks else None
    asks = only is None or any(isinstance(t, ReadingTrigger) for k in tasks for t in k.triggers)
    tubs = read_tubs(connection, now, only=tub, with_readings=asks)
    counters = Counters(connection, now)
    put_offs = _put_offs(connection, only)
    facts: dict[TaskId, TaskFacts] = {}
    needed: dict[TubId, set[Counter]] = defaultdict(set)
    for task in tasks:
        closing, moves = closings.get(task.id), put_offs.get(task.id, ())
        wanted = uses.get(task.id)
        if wanted is None:
            if closing is not None or moves:
                facts[task.id] = TaskFacts(closing=closing, put_offs=moves)
            continue
        zone = tubs[task.tub_id].zone
        needed[task.tub_id] |= wanted
        began = start_of(task.starts_on, zone)
        facts[task.id] = TaskFacts(
            closing=closing and _with_counters(closing, counters, task, wanted, zone),
            put_offs=moves,
            start_counters={c: counters.at(task.tub_id, c, began, zone) for c in wanted},
        )
    for tub_id, wanted_here in needed.items():
        record = tubs[tub_id]
        states = {c: counters.state(tub_id, c, record.zone) for c in wanted_here}
        tubs[tub_id] = replace(record, facts=replace(record.facts, counters=states))
    return Plan(tasks=tasks, facts=facts, tubs=tubs, usual_minor=usual, reminds=reminds)


def read_tasks(
    connection: Connection, *, only: TaskId | None = None
) -> tuple[tuple[Task, ...], dict[TaskId, int], dict[TaskId, bool]]:
    """Return the active tasks, their usual cost, and whether they remind."""
    table = table_of(TaskRow)
    statement = select(
        table.c.id,
        table.c.tub_id,
        table.c.title,
        table.c.category,
        table.c.plan,
        table.c.starts_on,
        table.c.first_due_on,
        table.c.usual_minor,
        table.c.reminds,
    ).where(table.c.active)
    if only is not None:
        statement = statement.where(table.c.id == only)
    tasks: list[Task] = []
    usual: dict[TaskId, int] = {}
    reminds: dict[TaskId, bool] = {}
    for row in connection.execute(statement.order_by(table.c.id)):
        task_id = TaskId(row.id)
        tasks.append(
            Task(
                id=task_id,
                tub_id=TubId(row.tub_id),
                title=row.title,
                category=Category(row.category),
                starts_on=row.starts_on,
                first_due_on=row.first_due_on,
                **rules_from_data(row.plan, starts_on=row.starts_on),
            )
        )
        if row.usual_minor is not None:
            usual[task_id] = row.usual_minor
        reminds[task_id] = row.reminds
    return tuple(tasks), usual, reminds


def read_tubs(
    connection: Connection,
    now: datetime,
    *,
    only: TubId | None = None,
    with_readings: bool = True,
) -> dict[TubId, TubRecord]:
    """Return every tub, or one, with its profile, states and newest readings."""
    table = table_of(TubRow)
    states = _states(connection)
    readings = _readings(connection, now, only) if with_readings else {}
    settles = _settling(connection, now) if with_readings else {}
    tubs: dict[TubId, TubRecord] = {}
    statement = select(table).order_by(table.c.id)
    if only is not None:
        statement = statement.where(table.c.id == only)
    for row in connection.execute(statement):
        tub_id = TubId(row.id)
        profile = profile_from_data(row.profile)
        newest = readings.get(tub_id, {})
        tubs[tub_id] = TubRecord(
            id=tub_id,
            name=row.name,
            zone=row.zone,
            profile=profile,
            facts=TubFacts(
                tub_id=tub_id,
                states=states.get(tub_id, ()),
                plan=SeasonPlan(opens=profile.season_opens, closes=profile.season_closes),
                readings=newest,
                ranges=ranges_of(profile),
                settles_at=dict.fromkeys(newest, settles[tub_id]) if tub_id in settles else {},
            ),
        )
    return tubs


def _closings(connection: Connection, only: TaskId | None) -> dict[TaskId, Closing]:
    task, done, inner = table_of(TaskRow), table_of(CompletionRow), table_of(CompletionRow).alias()
    # One step for each task along the partial index, however many completions there are.
    newest = (
        select(inner.c.id)
        .where(inner.c.task_id == task.c.id, inner.c.key.is_not(None))
        .order_by(inner.c.id.desc())
        .limit(1)
        .correlate(task)
        .scalar_subquery()
    )
    statement = (
        select(
            done.c.id,
            done.c.task_id,
            done.c.key,
            done.c.outcome,
            done.c.on_date,
            done.c.at,
            done.c.due_on,
            done.c.result,
            done.c.anchor_day,
        )
        .select_from(task)
        .join(done, done.c.id == newest)
        .where(task.c.active if only is None else task.c.id == only)
    )
    return {TaskId(row.task_id): _closing(row) for row in connection.execute(statement)}


def _closing(row: Row[*tuple[Any, ...]]) -> Closing:
    return Closing(
        id=CompletionId(row.id),
        key=row.key,
        outcome=Outcome(row.outcome),
        on=row.on_date,
        at=row.at,
        due_on=row.due_on,
        result=InspectionResult(row.result) if row.result else None,
        anchor_day=row.anchor_day,
    )


def closing_named(connection: Connection, completion: CompletionId) -> Closing | None:
    """Return a completion as the care engine reads it, None for extra work without a key."""
    done = table_of(CompletionRow)
    row = connection.execute(
        select(done).where(done.c.id == completion, done.c.key.is_not(None))
    ).first()
    return None if row is None else _closing(row)


def _put_offs(connection: Connection, only: TaskId | None) -> dict[TaskId, tuple[PutOff, ...]]:
    table, done = table_of(PutOffRow), table_of(CompletionRow)
    closed = exists().where(done.c.task_id == table.c.task_id, done.c.key == table.c.key)
    found: dict[TaskId, list[PutOff]] = defaultdict(list)
    statement = select(table.c.task_id, table.c.key, table.c.to_date, table.c.made_on)
    statement = statement.where(~closed if only is None else table.c.task_id == only)
    for row in connection.execute(statement.order_by(table.c.id)):
        found[TaskId(row.task_id)].append(PutOff(key=row.key, to=row.to_date, made_on=row.made_on))
    return {task: tuple(moves) for task, moves in found.items()}


def _states(connection: Connection) -> dict[TubId, tuple[StateChange, ...]]:
    table = table_of(StateChangeRow)
    found: dict[TubId, list[StateChange]] = defaultdict(list)
    for row in connection.execute(
        select(table.c.id, table.c.tub_id, table.c.on_date, table.c.state).order_by(
            table.c.on_date, table.c.id
        )
    ):
        found[TubId(row.tub_id)].append(
            StateChange(id=row.id, on=row.on_date, state=TubState(row.state))
        )
    return {tub: tuple(changes) for tub, changes in found.items()}


def _readings(
    connection: Connection, now: datetime, only: TubId | None
) -> dict[TubId, dict[str, Reading]]:
    table = table_of(ReadingRow)
    statement = (
        select(table.c.tub_id, table.c.quantity, table.c.value, table.c.on_date, table.c.at)
        .where(table.c.at >= now - READING_MEMORY)
        .order_by(table.c.at, table.c.id)
    )
    if only is not None:
        statement = statement.where(table.c.tub_id == only)
    found: dict[TubId, dict[str, Reading]] = defaultdict(dict)
    for row in connection.execute(statement):
        found[TubId(row.tub_id)][row.quantity] = Reading(
            quantity=row.quantity, value=row.value, taken_on=row.on_date, taken_at=row.at
        )
    return found


def _settling(connection: Connection, now: datetime) -> dict[TubId, datetime]:
    table = table_of(DoseRow)
    statement = (
        select(table.c.tub_id, func.max(table.c.wait_until).label("until"))
        .where(table.c.at >= now - SETTLING_MEMORY, table.c.wait_until.is_not(None))
        .group_by(table.c.tub_id)
    )
    return {TubId(row.tub_id): row.until for row in connection.execute(statement)}


def _with_counters(
    closing: Closing, counters: Counters, task: Task, wanted: frozenset[Counter], zone: str
) -> Closing:
    if not wanted or closing.at is None:
        return closing
    return replace(
        closing, counters={c: counters.at(task.tub_id, c, closing.at, zone) for c in wanted}
    )


def _use_triggers(tasks: tuple[Task, ...]) -> dict[TaskId, frozenset[Counter]]:
    found: dict[TaskId, frozenset[Counter]] = {}
    for task in tasks:
        counters = frozenset(t.counter for t in task.triggers if isinstance(t, UseTrigger))
        if counters:
            found[task.id] = counters
    return found
