"""Changing what was recorded as done."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.model import InspectionResult, Outcome, TaskFacts
from tubcare.care.occurrences import occurrence
from tubcare.errors import NotFoundError, RuleError
from tubcare.services import fields
from tubcare.services.amending_uses import keep_uses, recorded_uses
from tubcare.services.facts import closing_before, read_plan
from tubcare.services.follow_ups import move_follow_up, open_follow_up
from tubcare.services.household import ensure_person
from tubcare.services.moments import happened_at
from tubcare.services.refunds import require_not_refunded
from tubcare.services.spending import spend_category
from tubcare.services.topics import Topic
from tubcare.services.turned import move_with
from tubcare.services.upkeep_model import Ticked, Work
from tubcare.store.tables import CompletionRow, EntryRow, PersonRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, SupplyId, TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Closing, Task
    from tubcare.services.desk import Desk
    from tubcare.store.journal import Image
    from tubcare.store.unit import Unit

UPKEEP_TOPICS = frozenset({Topic.UPKEEP, Topic.MONEY, Topic.STOCK, Topic.TASKS, Topic.TUBS})
MAX_MINOR = 10**12


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """One completion as it is on record, with what it used and cost besides stock."""

    completion: CompletionId
    task: TaskId
    title: str
    on: date
    who: str
    minutes: int | None
    note: str
    result: InspectionResult | None
    cost_minor: int
    uses: Mapping[SupplyId, int] = field(default_factory=dict)


def recorded(desk: Desk, completion: CompletionId) -> Recorded:
    """Return one completion; raise `NotFoundError` when it is gone."""
    done, task, person = table_of(CompletionRow), table_of(TaskRow), table_of(PersonRow)
    with desk.read() as connection:
        row = connection.execute(
            select(done, task.c.title, person.c.name)
            .join(task, task.c.id == done.c.task_id)
            .outerjoin(person, person.c.id == done.c.person_id)
            .where(done.c.id == completion)
        ).first()
        if row is None:
            raise NotFoundError("completion", completion)
        entry = _own_entry(connection, completion)
        uses = recorded_uses(connection, completion)
    return Recorded(
        completion=completion,
        task=TaskId(row.task_id),
        title=row.title,
        on=row.on_date,
        who=row.name or "",
        minutes=row.minutes,
        note=row.note,
        result=InspectionResult(row.result) if row.result else None,
        cost_minor=0 if entry is None else entry["minor"],
        uses=uses,
    )


def amend_completion(desk: Desk, completion: CompletionId, work: Work) -> Ticked:
    """Keep what was recorded as given; None leaves a part of it as it is.

    A result that asks for it opens a follow-up task, as when it is recorded at once. The state
    that the tub entered with a procedure moves with its day, and so does a follow-up task.

    Raises
    ------
    InputError, OutOfRangeError
        When a field cannot be right.
    RuleError
        When the work would come to lie before the one that it follows or after the next, a refund
        names its amount, or as `move_with` says.
    """
    title = recorded(desk, completion).title
    with desk.write("amend_completion", title, UPKEEP_TOPICS) as unit:
        image = unit.image(table_of(CompletionRow), completion)
        plan = read_plan(unit.connection, desk.now(), only=TaskId(image["task_id"]))
        if not plan.tasks:
            raise RuleError("bring the task back into the plan first; then its records can change")
        task = plan.tasks[0]
        tub = plan.tubs[task.tub_id]
        values = _amended(unit, image, work)
        on = image["on_date"]
        if work.on is not None and work.on != on:
            on, at = happened_at(desk, tub.zone, work.on)
            before = closing_before(unit.connection, task.id, completion)
            _require_between(unit.connection, image, before, on)
            facts = TaskFacts(
                closing=before,
                put_offs=plan.facts.get(task.id, TaskFacts()).put_offs,
            )
            then = occurrence(task, facts, tub.facts, on)
            if then is not None and then.key == image["key"] and then.late_after is not None:
                values["on_time"] = on <= then.late_after
            values |= {"on_date": on, "at": at}
            move_with(unit, image, on)
            if image["result"]:
                result = InspectionResult(image["result"])
                move_follow_up(unit, task, result, image["on_date"], on)
        unit.change(CompletionRow, completion, **values)
        uses = keep_uses(unit, completion, task, on, work)
        cost = _keep_cost(unit, completion, task, on, work)
        follow_up = None
        if work.result is not None and work.result.value != image["result"]:
            follow_up = open_follow_up(unit, task, work.result, on)
        return Ticked(
            task=task.id,
            title=task.title,
            completion=completion,
            on=on,
            cost_minor=cost,
            uses=uses,
            follow_up=follow_up,
        )


def _amended(unit: Unit, image: Image, work: Work) -> dict[str, Any]:
    if work.minutes is not None:
        fields.quantity("minutes", work.minutes, 0, 10_080)
    values: dict[str, Any] = {"note": fields.note_text(work.note), "minutes": work.minutes}
    values["result"] = None if work.result is None else work.result.value
    if work.person:
        values["person_id"] = ensure_person(unit, work.person)
    if image["outcome"] == Outcome.SKIPPED.value and not work.note.strip():
        del values["note"]
    return values


def _require_between(
    connection: Connection, image: Image, before: Closing | None, on: date
) -> None:
    """Raise `RuleError` when closings of a task would no longer follow each other."""
    if image["key"] is None:
        return
    if before is not None and on < before.on:
        raise RuleError(f"it was last done on {before.on}; choose that day or a later one")
    table = table_of(CompletionRow)
    after = connection.execute(
        select(table.c.on_date)
        .where(
            table.c.task_id == image["task_id"],
            table.c.key.is_not(None),
            table.c.id > image["id"],
        )
        .order_by(table.c.id)
        .limit(1)
    ).scalar()
    if after is not None and on > after:
        raise RuleError(f"it was done again on {after}; choose that day or an earlier one")


def _keep_cost(unit: Unit, completion: CompletionId, task: Task, on: date, work: Work) -> int:
    entry = _own_entry(unit.connection, completion)
    known = 0 if entry is None else int(entry["minor"])
    cost = known if work.cost_minor is None else work.cost_minor
    if cost:
        fields.quantity("minor", cost, 1, MAX_MINOR)
    if entry is None:
        if cost:
            unit.add(
                EntryRow,
                on_date=on,
                kind="direct",
                category=spend_category(task.category).value,
                minor=cost,
                tub_id=task.tub_id,
                task_id=task.id,
                completion_id=completion,
            )
        return cost
    if (cost, on) != (known, entry["on_date"]):
        require_not_refunded(unit.connection, entry["id"], "this amount")
    if cost:
        unit.change(EntryRow, entry["id"], minor=cost, on_date=on)
    else:
        unit.remove(EntryRow, entry["id"])
    return cost


def _own_entry(connection: Connection, completion: CompletionId) -> Mapping[str, Any] | None:
    """Return the amount that was recorded with the work itself."""
    table = table_of(EntryRow)
    row = (
        connection.execute(
            select(table)
            .where(table.c.completion_id == completion, table.c.kind == "direct")
            .order_by(table.c.id)
            .limit(1)
        )
        .mappings()
        .first()
    )
    return None if row is None else dict(row)
