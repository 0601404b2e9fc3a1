"""What a person fills in about work, with what is usual for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.services.amending import Recorded, recorded
from tubcare.services.follow_ups import asks_for_result
from tubcare.services.household import people
from tubcare.services.supplies import supplies
from tubcare.services.tasks import task_detail

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.values import CompletionId, SupplyId, TaskId


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyChoice:
    """A supply that can be named as used."""

    id: SupplyId
    name: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkKit:
    """A task as far as recording work on it goes.

    `recorded` is the completion that is being changed, None for new work. Quantities are
    thousandths of the unit.
    """

    task: TaskId
    title: str
    tub_name: str
    zone: str
    today: date
    actor: str
    people: tuple[str, ...]
    supplies: tuple[SupplyChoice, ...]
    usual: Mapping[SupplyId, int]
    usual_minor: int
    usual_minutes: int
    asks_result: bool
    open: Occurrence | None
    recorded: Recorded | None = None


def work_kit(desk: Desk, task: TaskId, record: Recorded | None = None) -> WorkKit:
    """Return what recording work on a task needs; raise `NotFoundError` when it is gone."""
    detail = task_detail(desk, task)
    usual = {each.supply: each.quantity_milli for each in detail.supplies}
    named = set(usual) | set({} if record is None else record.uses)
    return WorkKit(
        task=task,
        title=detail.title,
        tub_name=detail.tub_name,
        zone=detail.zone,
        today=detail.today,
        actor=desk.actor,
        people=tuple(person.name for person in people(desk) if person.active),
        supplies=supply_choices(desk, named),
        usual=usual,
        usual_minor=detail.usual_minor or 0,
        usual_minutes=detail.minutes,
        asks_result=asks_for_result(detail.card, detail.task),
        open=detail.open,
        recorded=record,
    )


def amend_kit(desk: Desk, completion: CompletionId) -> WorkKit:
    """Return what changing a record needs; raise `NotFoundError` when it is gone."""
    record = recorded(desk, completion)
    return work_kit(desk, record.task, record)


def supply_choices(desk: Desk, named: set[SupplyId]) -> tuple[SupplyChoice, ...]:
    """Return the supplies in use, and those already named, by name."""
    return tuple(
        SupplyChoice(id=each.id, name=each.name, unit=each.unit)
        for each in supplies(desk)
        if each.active or each.id in named
    )
