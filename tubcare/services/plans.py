"""The care plan: drawn from the profile, saved, drawn anew without touching one's changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.plan import draw_plan
from tubcare.care.plan_card import card_from_data
from tubcare.care.plan_redraw import ExistingTask, PlanDiff, content_to_data
from tubcare.care.plan_redraw import redraw as compare
from tubcare.care.template_words import as_written, in_words
from tubcare.errors import NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.household import checked_zone
from tubcare.services.supplies import ensure_supply
from tubcare.services.templates import known_templates, templates_in_words
from tubcare.services.topics import Topic
from tubcare.services.tubs import insert_state, insert_tub, tubs
from tubcare.store.tables import PlanDropRow, SupplyRow, TaskRow, TaskSupplyRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date

    from sqlalchemy import Connection, Row

    from tubcare.care.model import TubState
    from tubcare.care.plan import PlannedTask
    from tubcare.care.template_words import OwnWords
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub
    from tubcare.store.unit import Unit
    from tubcare.values import TubProfile

PLAN_TOPICS = frozenset({Topic.TUBS, Topic.TASKS, Topic.UPKEEP, Topic.STOCK})


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedTub:
    """A tub that was added, and how many tasks were planned for it."""

    tub: TubId
    tasks: int


def planned_for(
    profile: TubProfile,
    today: date,
    *,
    last_done: Mapping[str, date] | None = None,
    own_words: OwnWords = as_written,
) -> tuple[PlannedTask, ...]:
    """Return every task that a profile calls for, with its first date, before it is saved.

    Parameters
    ----------
    last_done
        By template key, when the task was last done as far as the person knows.
    own_words
        The language that the plan is drawn in.
    """
    templates = in_words(known_templates(), own_words)
    return draw_plan(profile, templates, today, last_done=last_done)


def add_tub_with_plan(  # noqa: PLR0913  the answers of a person, all with defaults
    desk: Desk,
    profile: TubProfile,
    *,
    last_done: Mapping[str, date] | None = None,
    keys: Collection[str] | None = None,
    changed: Mapping[str, PlannedTask] | None = None,
    own: Sequence[PlannedTask] = (),
    state: TubState | None = None,
) -> AddedTub:
    """Add a tub and save its plan.

    Parameters
    ----------
    last_done
        As `planned_for` takes it.
    keys
        The templates to take; None takes those that a plan starts with.
    changed
        By template key, the tasks that the person changed before saving; they count as changed.
    own
        Tasks of the person's own, without a template.
    state
        The state that the tub is in today; None leaves it to its planned season.
    """
    today = desk.today(checked_zone(profile.zone))
    planned = draw_plan(profile, templates_in_words(desk), today, last_done=last_done)
    with desk.write("add_tub", profile.name, PLAN_TOPICS) as unit:
        tub = insert_tub(unit, profile, today)
        chosen = [p for p in planned if (p.starter if keys is None else p.template_key in keys)]
        for each in chosen:
            wanted = (changed or {}).get(each.template_key, each)
            _insert(unit, tub, wanted, drawn=each)
        for each in own:
            _insert(unit, tub, each, drawn=None)
        if state is not None:
            insert_state(unit, tub, state, today)
    return AddedTub(tub=tub, tasks=len(chosen) + len(own))


def offered(desk: Desk, tub: TubId) -> tuple[PlannedTask, ...]:
    """Return what the profile calls for and the plan does not hold yet; dropped ones stay away."""
    return redraw(desk, tub).added


def accept(desk: Desk, tub: TubId, keys: Collection[str]) -> int:
    """Add offered tasks to the plan; return how many."""
    chosen = [p for p in offered(desk, tub) if p.template_key in keys]
    with desk.write("accept_offer", f"{len(chosen)} tasks", PLAN_TOPICS) as unit:
        for each in chosen:
            _insert(unit, tub, each, drawn=each)
    return len(chosen)


def redraw(desk: Desk, tub: TubId) -> PlanDiff:
    """Return what drawing the plan anew from today's profile would change.

    Tasks that were drawn in another language than the desk's differ by it.
    """
    record = _tub(desk, tub)
    table, drop = table_of(TaskRow), table_of(PlanDropRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).where(table.c.tub_id == tub, table.c.active)).all()
        dropped = set(
            connection.execute(select(drop.c.template_key).where(drop.c.tub_id == tub)).scalars()
        )
        supplies = _supplies_of(connection, tub)
    return compare(
        record.profile,
        templates_in_words(desk),
        [_existing(row, supplies.get(row.id, {})) for row in rows],
        desk.today(record.zone),
        dropped=dropped,
    )


def apply_redraw(desk: Desk, tub: TubId, diff: PlanDiff) -> None:
    """Save a redrawn plan, or a part of it; what a person changed stays as it is."""
    with desk.write("redraw_plan", _tub(desk, tub).name, PLAN_TOPICS) as unit:
        for each in diff.added:
            _insert(unit, tub, each, drawn=each)
        for change in diff.changed:
            content = content_to_data(change.planned)
            unit.change(TaskRow, change.task_id, **content, drawn=content)
            if "supplies" in change.parts:
                _replace_supplies(unit, change.task_id, change.planned)
        for gone in diff.dropped:
            unit.change(TaskRow, gone.task_id, active=False)


def _insert(unit: Unit, tub: TubId, planned: PlannedTask, *, drawn: PlannedTask | None) -> TaskId:
    """Add a task; `drawn` is what the template proposed, None for a task of the person's own."""
    task = TaskId(
        unit.add(
            TaskRow,
            tub_id=tub,
            starts_on=planned.starts_on,
            first_due_on=planned.first_due_on,
            template_key=None if drawn is None else planned.template_key,
            drawn=None if drawn is None else content_to_data(drawn),
            **content_to_data(planned),
        )
    )
    _insert_supplies(unit, task, planned)
    return task


def _insert_supplies(unit: Unit, task: TaskId, planned: PlannedTask) -> None:
    for use in planned.card.supplies:
        supply = ensure_supply(
            unit, name=use.name, unit=use.unit, category=SpendCategory(use.category)
        )
        unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=use.quantity_milli)


def _replace_supplies(unit: Unit, task: TaskId, planned: PlannedTask) -> None:
    link = table_of(TaskSupplyRow)
    found = unit.connection.execute(select(link.c.id).where(link.c.task_id == task)).scalars()
    for row in list(found):
        unit.remove(TaskSupplyRow, row)
    _insert_supplies(unit, task, planned)


def _supplies_of(connection: Connection, tub: TubId) -> dict[int, dict[str, int]]:
    """Return what each task of a tub usually uses, by name in small letters."""
    link, task, supply = table_of(TaskSupplyRow), table_of(TaskRow), table_of(SupplyRow)
    rows = connection.execute(
        select(link.c.task_id, supply.c.name, link.c.quantity_milli)
        .join(task, task.c.id == link.c.task_id)
        .join(supply, supply.c.id == link.c.supply_id)
        .where(task.c.tub_id == tub)
    )
    found: dict[int, dict[str, int]] = {}
    for row in rows:
        found.setdefault(row.task_id, {})[row.name.casefold()] = row.quantity_milli
    return found


def _is_touched(row: Row[*tuple[Any, ...]], supplies: Mapping[str, int]) -> bool:
    """Return whether a person changed what the comparison of contents does not see."""
    if row.drawn is None:
        return False
    card = card_from_data(row.drawn["card"])
    drawn = {use.name.casefold(): use.quantity_milli for use in card.supplies}
    return row.usual_minor is not None or not row.reminds or drawn != dict(supplies)


def _existing(row: Row[*tuple[Any, ...]], supplies: Mapping[str, int]) -> ExistingTask:
    return ExistingTask(
        id=TaskId(row.id),
        title=row.title,
        starts_on=row.starts_on,
        template_key=row.template_key,
        drawn=row.drawn,
        current={
            "title": row.title,
            "category": row.category,
            "plan": row.plan,
            "card": row.card,
        },
        touched=_is_touched(row, supplies),
    )


def _tub(desk: Desk, tub: TubId) -> Tub:
    found = next((t for t in tubs(desk) if t.id == tub), None)
    if found is None:
        raise NotFoundError("tub", tub)
    return found
