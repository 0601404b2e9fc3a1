"""The care plan: drawn from the profile, saved, drawn anew without touching one's changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.model import ElapsedTrigger, Task
from tubcare.care.trigger_data import rules_from_data, rules_to_data
from tubcare.errors import NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.cards import card_to_data
from tubcare.services.household import checked_zone
from tubcare.services.supplies import ensure_supply
from tubcare.services.templates import Template, fits, known_templates, rules_on
from tubcare.services.topics import Topic
from tubcare.services.tubs import insert_tub, tubs
from tubcare.store.tables import PlanDropRow, TaskRow, TaskSupplyRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubProfile

PLAN_TOPICS = frozenset({Topic.TUBS, Topic.TASKS, Topic.UPKEEP, Topic.STOCK})
SPREAD_DAYS = 28
NO_ID = TaskId(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTask:
    """A task as the plan proposes it, before it is saved."""

    template: Template
    rules: Mapping[str, Any]
    first_due_on: date | None

    @property
    def key(self) -> str:
        """The template's key."""
        return self.template.key

    @property
    def title(self) -> str:
        """The task's title."""
        return self.template.title


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedTub:
    """A tub that was added, and how many tasks were planned for it."""

    tub: TubId
    tasks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDiff:
    """What drawing the plan anew would do. Nothing that a person changed is in it."""

    added: tuple[PlannedTask, ...] = ()
    changed: tuple[tuple[TaskId, PlannedTask], ...] = ()
    dropped: tuple[tuple[TaskId, str], ...] = ()
    own: tuple[str, ...] = field(default=())

    @property
    def is_empty(self) -> bool:
        """Whether nothing would change."""
        return not (self.added or self.changed or self.dropped)


def draw_plan(
    profile: TubProfile,
    today: date,
    *,
    last_done: Mapping[str, date] | None = None,
) -> tuple[PlannedTask, ...]:
    """Return every task that a profile calls for, with its first date.

    What was last done on a known day goes on from there; the rest is spread over four weeks,
    safety at once. Nothing starts late.

    Parameters
    ----------
    last_done
        By template key, when the task was last done as far as the person knows.
    """
    wanted = [t for t in known_templates() if fits(t, profile)]
    known = last_done or {}
    planned: list[PlannedTask] = []
    for at, template in enumerate(wanted):
        rules = rules_on(template, today)
        first = _first_due(rules, today, known.get(template.key), at, len(wanted))
        planned.append(PlannedTask(template=template, rules=rules, first_due_on=first))
    return tuple(planned)


def add_tub_with_plan(
    desk: Desk,
    profile: TubProfile,
    *,
    last_done: Mapping[str, date] | None = None,
    keys: Collection[str] | None = None,
) -> AddedTub:
    """Add a tub and save its plan.

    Parameters
    ----------
    keys
        The templates to take; None takes the dozen or so that a plan starts with.
    """
    today = desk.today(checked_zone(profile.zone))
    planned = draw_plan(profile, today, last_done=last_done)
    with desk.write("add_tub", profile.name, PLAN_TOPICS) as unit:
        tub = insert_tub(unit, profile, today)
        chosen = [p for p in planned if (p.template.starter if keys is None else p.key in keys)]
        for each in chosen:
            _insert(unit, tub, each, today)
    return AddedTub(tub=tub, tasks=len(chosen))


def offered(desk: Desk, tub: TubId) -> tuple[PlannedTask, ...]:
    """Return what the profile calls for and the plan does not hold yet; dropped ones stay away."""
    return redraw(desk, tub).added


def accept(desk: Desk, tub: TubId, keys: Collection[str]) -> int:
    """Add offered tasks to the plan; return how many."""
    today = _today(desk, tub)
    chosen = [p for p in offered(desk, tub) if p.key in keys]
    with desk.write("accept_offer", f"{len(chosen)} tasks", PLAN_TOPICS) as unit:
        for each in chosen:
            _insert(unit, tub, each, today)
    return len(chosen)


def redraw(desk: Desk, tub: TubId) -> PlanDiff:
    """Return what drawing the plan anew from today's profile would change."""
    profile = next((t.profile for t in tubs(desk) if t.id == tub), None)
    if profile is None:
        raise NotFoundError("tub", tub)
    planned = {p.key: p for p in draw_plan(profile, _today(desk, tub))}
    table, drop = table_of(TaskRow), table_of(PlanDropRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table).where(table.c.tub_id == tub, table.c.template_key.is_not(None))
        ).all()
        dropped = set(
            connection.execute(select(drop.c.template_key).where(drop.c.tub_id == tub)).scalars()
        )
    held = {row.template_key for row in rows if row.active}
    changed: list[tuple[TaskId, PlannedTask]] = []
    gone: list[tuple[TaskId, str]] = []
    own: list[str] = []
    for row in rows:
        if not row.active:
            continue
        if _current(row.title, row.plan, row.card) != row.drawn:
            own.append(row.title)
        elif row.template_key not in planned:
            gone.append((TaskId(row.id), row.title))
        elif _drawn(planned[row.template_key], row.starts_on) != row.drawn:
            changed.append((TaskId(row.id), planned[row.template_key]))
    added = [p for key, p in planned.items() if key not in held and key not in dropped]
    return PlanDiff(
        added=tuple(added), changed=tuple(changed), dropped=tuple(gone), own=tuple(own)
    )


def apply_redraw(desk: Desk, tub: TubId, diff: PlanDiff) -> None:
    """Save a redrawn plan; what a person changed stays as it is."""
    today = _today(desk, tub)
    table = table_of(TaskRow)
    with desk.write("redraw_plan", "the care plan", PLAN_TOPICS) as unit:
        for each in diff.added:
            _insert(unit, tub, each, today)
        for task, planned in diff.changed:
            starts_on = unit.image(table, task)["starts_on"]
            drawn = _drawn(planned, starts_on)
            unit.change(
                TaskRow,
                task,
                title=drawn["title"],
                plan=drawn["plan"],
                card=drawn["card"],
                drawn=drawn,
            )
        for task, _title in diff.dropped:
            unit.change(TaskRow, task, active=False)


def _insert(unit: Unit, tub: TubId, planned: PlannedTask, today: date) -> TaskId:
    template = planned.template
    drawn = _drawn(planned, today)
    task = TaskId(
        unit.add(
            TaskRow,
            tub_id=tub,
            title=template.title,
            category=template.category.value,
            plan=drawn["plan"],
            card=drawn["card"],
            starts_on=today,
            first_due_on=planned.first_due_on,
            template_key=template.key,
            drawn=drawn,
        )
    )
    for use in template.uses:
        supply = ensure_supply(
            unit, name=use.name, unit=use.unit, category=SpendCategory(use.category)
        )
        unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=use.quantity_milli)
    return task


def _drawn(planned: PlannedTask, starts_on: date) -> dict[str, Any]:
    """Return the data of a task as drawn, in the form in which it is stored."""
    template = planned.template
    rules = rules_on(template, starts_on)
    task = Task(
        id=NO_ID,
        tub_id=TubId(0),
        title=template.title,
        category=template.category,
        starts_on=starts_on,
        **rules_from_data(rules, starts_on=starts_on),
    )
    return _current(template.title, rules_to_data(task), card_to_data(template.card))


def _current(title: str, plan: object, card: object) -> dict[str, Any]:
    return {"title": title, "plan": plan, "card": card}


def _first_due(
    rules: Mapping[str, Any], today: date, last: date | None, at: int, count: int
) -> date | None:
    read = rules_from_data(rules, starts_on=today)
    every = next((t.every for t in read["triggers"] if isinstance(t, ElapsedTrigger)), None)
    if every is None:
        return None
    if last is not None:
        return max(today, every.after(last))
    if read["safety"] or read["no_grace"]:
        return today
    spread = min(SPREAD_DAYS, round(every.days)) - 1
    return today + timedelta(days=1 + round(spread * at / max(1, count - 1)))


def _today(desk: Desk, tub: TubId) -> date:
    zone = next((t.zone for t in tubs(desk) if t.id == tub), "UTC")
    return desk.today(zone)
