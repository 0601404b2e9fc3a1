"""Reads from the logbook what decides what is due; the cost does not grow with the history."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from tubcare.care.model import (
    Category,
    Closing,
    Counter,
    InspectionResult,
    Outcome,
    PutOff,
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
from tubcare.services import fact_statements as ask
from tubcare.services.counters import Counters
from tubcare.services.frost_facts import frost_of_tubs
from tubcare.services.moments import start_of
from tubcare.services.ranges import care_ranges, edited_rows
from tubcare.services.reading_facts import (
    asked,
    large_fills,
    newest_readings,
    of_this_water,
    settling,
    water_since,
)
from tubcare.services.water_facts import with_derived
from tubcare.values import CompletionId, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy import Connection, Row

    from tubcare.values import TubProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class TubRecord:
    """A tub as stored, with what is on record about it."""

    id: TubId
    name: str
    zone: str
    profile: TubProfile
    facts: TubFacts
    settled_at: datetime | None = None
    """When the newest dose of the last week will have mixed and reacted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything that the care engine needs, read in one transaction."""

    tasks: tuple[Task, ...]
    facts: Mapping[TaskId, TaskFacts]
    tubs: Mapping[TubId, TubRecord]
    usual_minor: Mapping[TaskId, int]
    reminds: Mapping[TaskId, bool]


def read_plan(connection: Connection, now: datetime, *, only: TaskId | None = None) -> Plan:
    """Return all active tasks and the facts about them; `only` reads one task alone."""
    tasks, usual, reminds = read_tasks(connection, only=only)
    facts, tubs = _facts(connection, now, tasks, only)
    return Plan(tasks=tasks, facts=facts, tubs=tubs, usual_minor=usual, reminds=reminds)


def plan_of_one(connection: Connection, now: datetime, task: Task) -> Plan:
    """Return one task as given, whatever is kept of it, with what is on record about it."""
    facts, tubs = _facts(connection, now, (task,), task.id)
    return Plan(tasks=(task,), facts=facts, tubs=tubs, usual_minor={}, reminds={})


def _facts(
    connection: Connection, now: datetime, tasks: tuple[Task, ...], only: TaskId | None
) -> tuple[dict[TaskId, TaskFacts], dict[TubId, TubRecord]]:
    uses = _use_triggers(tasks)
    closings = _closings(connection, only)
    tub = tasks[0].tub_id if only is not None and tasks else None
    asks = only is None or any(isinstance(t, ReadingTrigger) for k in tasks for t in k.triggers)
    tubs = with_derived(
        connection,
        now,
        read_tubs(connection, now, only=tub, with_readings=asks),
        tasks,
        closings,
    )
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
    return facts, tubs


def read_tasks(
    connection: Connection, *, only: TaskId | None = None
) -> tuple[tuple[Task, ...], dict[TaskId, int], dict[TaskId, bool]]:
    """Return the active tasks, their usual cost, and whether they remind."""
    tasks: list[Task] = []
    usual: dict[TaskId, int] = {}
    reminds: dict[TaskId, bool] = {}
    for row in asked(connection, ask.TASKS, ask.ONE_TASK, only):
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
    states = _states(connection, only)
    readings = newest_readings(connection, now, only) if with_readings else {}
    settles = settling(connection, now) if with_readings else {}
    fills = large_fills(connection, now) if with_readings else {}
    frost = frost_of_tubs(connection)
    edits = edited_rows(connection) if with_readings else {}
    tubs: dict[TubId, TubRecord] = {}
    for row in asked(connection, ask.TUBS, ask.ONE_TUB, only):
        tub_id = TubId(row.id)
        profile = profile_from_data(row.profile)
        changes = states.get(tub_id, ())
        since = water_since(changes, fills.get(tub_id, ()), profile, row.zone)
        newest = of_this_water(readings.get(tub_id, {}), since)
        tubs[tub_id] = TubRecord(
            id=tub_id,
            name=row.name,
            zone=row.zone,
            profile=profile,
            settled_at=settles.get(tub_id),
            facts=TubFacts(
                tub_id=tub_id,
                states=changes,
                plan=SeasonPlan(opens=profile.season_opens, closes=profile.season_closes),
                readings=newest,
                frost=frost.get(tub_id, ()),
                ranges=care_ranges(profile, edits.get(tub_id, {})),
                settles_at=dict.fromkeys(newest, settles[tub_id]) if tub_id in settles else {},
            ),
        )
    return tubs


def _closings(connection: Connection, only: TaskId | None) -> dict[TaskId, Closing]:
    found = asked(connection, ask.CLOSINGS, ask.ONE_CLOSING, only)
    return {TaskId(row.task_id): _closing(row) for row in found}


def closing_before(
    connection: Connection, task: TaskId, completion: CompletionId
) -> Closing | None:
    """Return the closing that a completion of a task follows, None for the first one."""
    row = connection.execute(ask.EARLIER_CLOSING, {"of": task, "before": completion}).first()
    return None if row is None else _closing(row)


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


def _put_offs(connection: Connection, only: TaskId | None) -> dict[TaskId, tuple[PutOff, ...]]:
    found: dict[TaskId, list[PutOff]] = defaultdict(list)
    for row in asked(connection, ask.MOVES, ask.ONE_TASKS_MOVES, only):
        found[TaskId(row.task_id)].append(PutOff(key=row.key, to=row.to_date, made_on=row.made_on))
    return {task: tuple(moves) for task, moves in found.items()}


def _states(connection: Connection, only: TubId | None) -> dict[TubId, tuple[StateChange, ...]]:
    found: dict[TubId, list[StateChange]] = defaultdict(list)
    for row in asked(connection, ask.STATES, ask.ONE_TUBS_STATES, only):
        found[TubId(row.tub_id)].append(
            StateChange(id=row.id, on=row.on_date, state=TubState(row.state))
        )
    return {tub: tuple(changes) for tub, changes in found.items()}


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
