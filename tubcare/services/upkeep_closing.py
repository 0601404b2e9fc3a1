"""The closing of an occurrence, and what comes after it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.model import Closing, Occurrence, Outcome, TaskFacts, UseTrigger
from tubcare.care.occurrences import open_occurrence
from tubcare.errors import RuleError
from tubcare.services import fields
from tubcare.services.household import ensure_person
from tubcare.services.upkeep_case import Case, case_of, read_case, require_unclosed
from tubcare.services.upkeep_model import AS_USUAL, Ticked, Work
from tubcare.store.tables import CompletionRow
from tubcare.values import CompletionId, SupplyId, TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit


def close_as_done(
    desk: Desk, unit: Unit, task: TaskId, closed: Occurrence, *, when: tuple[date, datetime]
) -> CompletionId:
    """Record, inside a running use case, that an occurrence was done by other means.

    `when` is the local day and the instant.
    """
    case = case_of(desk, unit, task)
    on, at = when
    return close_occurrence(desk, unit, case, closed, Outcome.DONE, on, at, AS_USUAL).id


def close_occurrence(  # noqa: PLR0913, PLR0917  one row, one place that writes it
    desk: Desk,
    unit: Unit,
    case: Case,
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
        require_unclosed(unit.connection, case, "" if closed is None else closed.key)
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


def ticked_from(
    desk: Desk,
    unit: Unit,
    case: Case,
    closing: Closing,
    cost: int,
    uses: Mapping[SupplyId, int],
) -> Ticked:
    """Return what a closing recorded, with the date on which its task is due next."""
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


def _after(desk: Desk, connection: Connection, case: Case, closing: Closing) -> Occurrence | None:
    """Return what comes after a completion, from what the case has read already."""
    if not closing.key or any(isinstance(t, UseTrigger) for t in case.task.triggers):
        return read_case(desk, connection, case.task.id).open
    return open_occurrence(case.task, TaskFacts(closing=closing), case.today)
