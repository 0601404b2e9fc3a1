"""What is due: this week, late, today, later."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.care.model import Occurrence, ReadingReason, Status
from tubcare.care.occurrences import occurrences
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.frost_notes import FrostNote, frost_notes
from tubcare.services.on_shelf import OnShelf, usual_supplies
from tubcare.services.task_marks import inspections, marked_tasks
from tubcare.services.week_done import DoneItem, completions

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from tubcare.care.model import Category, Task
    from tubcare.ledger.lots import ShelfNote
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan, TubRecord
    from tubcare.values import SupplyId, TaskId, TubId
    from tubcare.water.plan_model import PlanStep

MONDAY = 0
LATER_DAYS = 28
#: How far ahead work is worth doing early because the tub is empty now.
TOGETHER_DAYS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class DueItem:
    """One open occurrence with what a list shows about it."""

    task: TaskId
    title: str
    category: Category
    tub: TubId
    tub_name: str
    occurrence: Occurrence
    expected_minor: int | None
    minutes: int
    round_name: str
    zone: str
    today: date
    to_add: tuple[PlanStep, ...] = ()
    """What the dosing plan worked out, where a reading of the water made it due."""
    cautions: tuple[str, ...] = ()
    """What stands beside that dose, the product's own first."""
    asks_result: bool = False
    """Whether it is an inspection, and what it finds decides what comes next."""
    takes: Mapping[SupplyId, int] = field(default_factory=dict)
    """What that dose takes from the shelf, in thousandths of each supply's unit."""
    lacks: tuple[ShelfNote, ...] = ()
    """What the shelf lacks for that dose or its usual supplies, after the work due before it."""

    @property
    def is_behind(self) -> bool:
        """Whether its time to be on time is over."""
        return self.occurrence.status in {Status.LATE, Status.OVERDUE}


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundItem:
    """Small tasks that are done together in one go."""

    name: str
    tub_name: str
    items: tuple[DueItem, ...]

    @property
    def minutes(self) -> int:
        """How long the whole round usually takes."""
        return sum(item.minutes for item in self.items)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayItems:
    """What falls on one day."""

    on: date
    items: tuple[DueItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherItems:
    """What needs one tub empty and is not due yet, offered where some such work is at hand."""

    tub: TubId
    tub_name: str
    items: tuple[DueItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The week around a day: late, today, the days that follow, later, and what was done.

    `frost` names the frost date that matters most for each tub that holds water.
    `together` holds what is best done while a tub is empty anyhow; it stands nowhere else.
    """

    today: date
    first: date
    last: date
    late: tuple[DueItem, ...]
    due_today: tuple[DueItem, ...]
    together: tuple[TogetherItems, ...]
    days: tuple[DayItems, ...]
    later: tuple[DueItem, ...]
    asleep: int
    done: tuple[DoneItem, ...]
    tubs: int
    frost: tuple[FrostNote, ...] = ()

    @property
    def open_items(self) -> tuple[DueItem, ...]:
        """All that is late, due today or due in the days that follow, in the order shown."""
        beside = (item for each in self.together for item in each.items)
        soon = (item for item in beside if item.occurrence.due_on <= self.last)
        coming = (item for day in self.days for item in day.items)
        return (*self.late, *self.due_today, *soon, *coming)


def this_week(desk: Desk, *, first_weekday: int = MONDAY) -> Week:
    """Return what is due in the week of today.

    Parameters
    ----------
    first_weekday
        0 for Monday to 6 for Sunday.
    """
    with desk.read() as connection:
        plan = read_plan(connection, desk.now())
        home = desk.today(setting(connection, HOME_ZONE) or "UTC")
        first = home - timedelta(days=(home.weekday() - first_weekday) % 7)
        last = first + timedelta(days=6)
        done = completions(connection, first, last)
        empty, opens = marked_tasks(connection)
        usual = usual_supplies(connection)
    asks = inspections(plan, opens)
    items = tuple(
        replace(item, asks_result=True) if item.task in asks else item
        for item in _with_doses(desk, due_items(desk, plan))
    )
    uses = {item.task: item.takes if item.to_add else usual.get(item.task, {}) for item in items}
    used = {supply for each in uses.values() for supply in each}
    if used:
        with desk.read() as connection:
            shelf = OnShelf(connection, used)
        items = tuple(_with_shelf(items, shelf, uses))
    together = _together([item for item in items if item.task in empty], last)
    beside = {item.task for each in together for item in each.items}
    week = _arranged([item for item in items if item.task not in beside], home, first, last, done)
    tubs = tuple(plan.tubs.values())
    frost = frost_notes(tubs, [desk.today(tub.zone) for tub in tubs])
    return replace(week, together=together, tubs=len(tubs), frost=frost)


def _together(items: list[DueItem], last: date) -> tuple[TogetherItems, ...]:
    """Return by tub what else can be done while it is empty for the work of this week."""
    by_tub: dict[TubId, list[DueItem]] = {}
    for item in items:
        ahead = (item.occurrence.due_on - item.today).days
        if item.occurrence.status is not Status.ASLEEP and ahead <= TOGETHER_DAYS:
            by_tub.setdefault(item.tub, []).append(item)
    found = []
    for tub, those in by_tub.items():
        coming = tuple(i for i in those if i.occurrence.status is Status.COMING)
        wanted = any(i.occurrence.due_on <= last for i in those)
        if wanted and coming and len(those) > 1:
            found.append(TogetherItems(tub=tub, tub_name=coming[0].tub_name, items=coming))
    return tuple(found)


def _with_shelf(
    items: Iterable[DueItem], shelf: OnShelf, uses: Mapping[TaskId, Mapping[SupplyId, int]]
) -> Iterator[DueItem]:
    """Return the items, in order of date, with what the shelf lacks for each."""
    for item in items:
        on = max(item.occurrence.due_on, item.today)
        asleep = item.occurrence.status is Status.ASLEEP
        lacks = () if asleep else shelf.take(uses[item.task], on)
        yield replace(item, lacks=lacks) if lacks else item


def _with_doses(desk: Desk, items: tuple[DueItem, ...]) -> tuple[DueItem, ...]:
    if not any(isinstance(item.occurrence.reason, ReadingReason) for item in items):
        return items
    # Loaded when a reading asks: the chemistry would slow down every start.
    from tubcare.services.water_due import with_doses  # noqa: PLC0415  see above

    return with_doses(desk, items)


def due_items(desk: Desk, plan: Plan) -> tuple[DueItem, ...]:
    """Return every open occurrence, most pressing first; each tub by its own date."""
    by_id = {task.id: task for task in plan.tasks}
    found: list[DueItem] = []
    for tub in plan.tubs.values():
        today = desk.today(tub.zone)
        tasks = tuple(task for task in plan.tasks if task.tub_id == tub.id)
        for each in occurrences(tasks, plan.facts, {tub.id: tub.facts}, today):
            task = by_id[each.task_id]
            found.append(_item(task, each, tub, plan.usual_minor.get(task.id), today))
    found.sort(key=lambda i: (i.occurrence.due_on, i.title))
    return tuple(found)


def in_rounds(items: Iterable[DueItem]) -> tuple[DueItem | RoundItem, ...]:
    """Return the items with those of one round and tub joined, at the place of the first."""
    rounds: dict[tuple[TubId, str], list[DueItem]] = {}
    order: list[DueItem | tuple[TubId, str]] = []
    for item in items:
        key = (item.tub, item.round_name)
        if not item.round_name:
            order.append(item)
        elif key in rounds:
            rounds[key].append(item)
        else:
            rounds[key] = [item]
            order.append(key)
    return tuple(each if isinstance(each, DueItem) else _joined(rounds[each]) for each in order)


def _joined(items: list[DueItem]) -> DueItem | RoundItem:
    if len(items) == 1:
        return items[0]
    return RoundItem(name=items[0].round_name, tub_name=items[0].tub_name, items=tuple(items))


def _item(task: Task, each: Occurrence, tub: TubRecord, usual: int | None, today: date) -> DueItem:
    return DueItem(
        task=task.id,
        title=task.title,
        category=task.category,
        tub=task.tub_id,
        tub_name=tub.name,
        occurrence=each,
        expected_minor=usual,
        minutes=task.minutes,
        round_name=task.round_name,
        zone=tub.zone,
        today=today,
    )


def _arranged(
    items: Iterable[DueItem],
    today: date,
    first: date,
    last: date,
    done: tuple[DoneItem, ...],
) -> Week:
    late: list[DueItem] = []
    now: list[DueItem] = []
    later: list[DueItem] = []
    days: dict[date, list[DueItem]] = {}
    asleep = 0
    horizon = today + timedelta(days=LATER_DAYS)
    for item in items:
        due_on = item.occurrence.due_on
        if item.occurrence.status is Status.ASLEEP:
            asleep += 1
        elif item.is_behind:
            late.append(item)
        elif due_on <= today:
            now.append(item)
        elif due_on <= last:
            days.setdefault(due_on, []).append(item)
        elif due_on <= horizon:
            later.append(item)
    return Week(
        today=today,
        first=first,
        last=last,
        late=tuple(late),
        due_today=tuple(now),
        together=(),
        days=tuple(DayItems(on=on, items=tuple(each)) for on, each in sorted(days.items())),
        later=tuple(later),
        asleep=asleep,
        done=done,
        tubs=0,
    )
