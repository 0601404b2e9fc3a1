"""The calendar: for each day what is due, what was done, what is foreseen, which tubs are open."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.forecast import forecast
from tubcare.care.model import Status
from tubcare.care.occurrences import occurrences
from tubcare.errors import OutOfRangeError
from tubcare.services.calendar_season import SeasonNow, SeasonTurn, TubDay, seasons
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.task_marks import inspections, marked_tasks
from tubcare.store.tables import CompletionRow, PersonRow, TaskRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan

YEARS_AHEAD = 10
"""How far the plan is rolled forward: beyond it nothing is foreseen."""
LONGEST_DAYS = 400

_ORDER = (
    Status.OVERDUE,
    Status.LATE,
    Status.DUE,
    Status.COMING,
    Status.ASLEEP,
    Status.DONE,
    Status.SKIPPED,
)


class EntryKind(StrEnum):
    """What an entry of the calendar is: open now, closed, or foreseen."""

    OPEN = "open"
    CLOSED = "closed"
    FORESEEN = "foreseen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One time that a task falls due, or was done. `today` is the date where its tub stands.

    `occurrence` is None for what was closed, `completion` for what was not; `who` and `note`
    belong to what was closed. `asks_result` marks inspections.
    """

    kind: EntryKind
    on: date
    status: Status
    task: TaskId
    title: str
    tub: TubId
    tub_name: str
    round_name: str
    today: date
    occurrence: Occurrence | None = None
    completion: CompletionId | None = None
    who: str = ""
    note: str = ""
    asks_result: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What takes one line of a day: an entry, or the entries of one round and tub together."""

    name: str
    entries: tuple[Entry, ...]

    @property
    def kind(self) -> EntryKind:
        """What the entries are; those of one line are of one kind."""
        return self.entries[0].kind

    @property
    def is_round(self) -> bool:
        """Whether it stands for several tasks."""
        return len(self.entries) > 1

    @property
    def on(self) -> date:
        """The day it stands on."""
        return self.entries[0].on

    @property
    def status(self) -> Status:
        """The most pressing state among the entries."""
        return min((each.status for each in self.entries), key=_ORDER.index)

    @property
    def about(self) -> bool:
        """Whether the day follows from the recent rate of use."""
        return any(e.occurrence is not None and e.occurrence.about for e in self.entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day: its lines, most pressing first, and how the tubs stand."""

    on: date
    lines: tuple[Line, ...]
    tubs: tuple[TubDay, ...]
    turns: tuple[SeasonTurn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """The days of a span, and what is still open from before it."""

    today: date
    days: tuple[Day, ...]
    before: tuple[Line, ...]
    seasons: tuple[SeasonNow, ...]
    tubs: tuple[tuple[TubId, str], ...]
    """Every tub of the logbook, for the choice of one."""

    def day(self, on: date) -> Day | None:
        """Return a day of the span, None outside it."""
        at = (on - self.days[0].on).days
        return self.days[at] if 0 <= at < len(self.days) else None


def calendar(desk: Desk, first: date, last: date, *, tub: TubId | None = None) -> Calendar:
    """Return every day from `first` to `last`, both included.

    What is foreseen assumes that all is done on its due date; nothing is foreseen more than ten
    years ahead. `tub` None shows all tubs.

    Raises
    ------
    OutOfRangeError
        For a span that is empty or longer than 400 days.
    """
    length = (last - first).days + 1
    if not 1 <= length <= LONGEST_DAYS:
        raise OutOfRangeError("date range", length, 1, LONGEST_DAYS)
    with desk.read() as connection:
        plan = read_plan(connection, desk.now())
        home = desk.today(setting(connection, HOME_ZONE) or "UTC")
        closed = _closed(connection, plan, desk, first, last)
        _empty, opens = marked_tasks(connection)
    shown = {i: record for i, record in plan.tubs.items() if tub is None or i == tub}
    asks = inspections(plan, opens)
    entries = [each for each in closed if each.tub in shown]
    until = min(last, home + timedelta(days=366 * YEARS_AHEAD))
    for each in shown:
        entries += _ahead(plan, each, desk.today(plan.tubs[each].zone), until, asks)
    by_day: dict[date, list[Entry]] = defaultdict(list)
    for entry in entries:
        by_day[entry.on].append(entry)
    season = seasons(shown.values(), desk.today, first, last)
    days = tuple(first + timedelta(days=n) for n in range(length))
    late = [e for e in entries if e.on < first and e.status in {Status.LATE, Status.OVERDUE}]
    return Calendar(
        today=home,
        days=tuple(
            Day(
                on=on,
                lines=lines_of(by_day.get(on, ())),
                tubs=season.days[on],
                turns=season.turns.get(on, ()),
            )
            for on in days
        ),
        before=lines_of(late),
        seasons=season.now,
        tubs=tuple((record.id, record.name) for record in plan.tubs.values()),
    )


def lines_of(entries: Iterable[Entry]) -> tuple[Line, ...]:
    """Return entries as lines, most pressing first, with those of one round and tub joined."""
    order = sorted(
        entries,
        key=lambda e: (e.kind is EntryKind.FORESEEN, _ORDER.index(e.status), e.on, e.title, e.tub),
    )
    groups: dict[tuple[object, ...], list[Entry]] = {}
    for entry in order:
        alone = not entry.round_name
        mark = entry.completion or (entry.task, entry.on)
        key = (mark,) if alone else (entry.kind, entry.on, entry.tub, entry.round_name)
        groups.setdefault(key, []).append(entry)
    return tuple(
        Line(name=group[0].title if len(group) == 1 else group[0].round_name, entries=tuple(group))
        for group in groups.values()
    )


def _ahead(
    plan: Plan, tub: TubId, today: date, until: date, asks: frozenset[TaskId]
) -> list[Entry]:
    tasks = {task.id: task for task in plan.tasks if task.tub_id == tub}
    record = plan.tubs[tub]
    facts = {tub: record.facts}
    now = {each.task_id: each for each in occurrences(tasks.values(), plan.facts, facts, today)}
    found = [(each, EntryKind.OPEN) for each in now.values() if each.due_on <= until]
    if until > today:
        found += [
            (each, EntryKind.FORESEEN)
            for each in forecast(tasks.values(), plan.facts, facts, today, until)
            if each.key != now[each.task_id].key
        ]
    return [
        Entry(
            kind=kind,
            on=each.due_on,
            status=each.status,
            task=each.task_id,
            title=tasks[each.task_id].title,
            tub=tub,
            tub_name=record.name,
            round_name=tasks[each.task_id].round_name,
            today=today,
            occurrence=each,
            asks_result=each.task_id in asks,
        )
        for each, kind in found
    ]


def _closed(
    connection: Connection, plan: Plan, desk: Desk, first: date, last: date
) -> list[Entry]:
    done, task = table_of(CompletionRow), table_of(TaskRow)
    person, tub = table_of(PersonRow), table_of(TubRow)
    rows = connection.execute(
        select(
            done.c.id,
            done.c.task_id,
            done.c.on_date,
            done.c.outcome,
            done.c.note,
            task.c.title,
            task.c.tub_id,
            tub.c.name.label("tub_name"),
            tub.c.zone,
            person.c.name.label("who"),
        )
        .join(task, task.c.id == done.c.task_id)
        .join(tub, tub.c.id == task.c.tub_id)
        .outerjoin(person, person.c.id == done.c.person_id)
        .where(done.c.on_date >= first, done.c.on_date <= last)
        .order_by(done.c.on_date, done.c.id)
    ).all()
    rounds = {each.id: each.round_name for each in plan.tasks}
    return [
        Entry(
            kind=EntryKind.CLOSED,
            on=row.on_date,
            status=Status(row.outcome),
            task=TaskId(row.task_id),
            title=row.title,
            tub=TubId(row.tub_id),
            tub_name=row.tub_name,
            round_name=rounds.get(TaskId(row.task_id), ""),
            today=desk.today(row.zone),
            completion=CompletionId(row.id),
            who=row.who or "",
            note=row.note,
        )
        for row in rows
    ]
