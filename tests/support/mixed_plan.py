"""A plan of many mixed tasks, as facts in memory and as a logbook that holds the same."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import insert

from tubcare.care.model import (
    CalendarTrigger,
    Category,
    Closing,
    Counter,
    CounterState,
    Edge,
    ElapsedTrigger,
    Interval,
    OnceTrigger,
    Outcome,
    OutOfScope,
    Period,
    Range,
    Reading,
    ReadingTrigger,
    Scope,
    SeasonPlan,
    SeasonTrigger,
    StateChange,
    Task,
    TaskFacts,
    Trigger,
    TubFacts,
    TubState,
    UseTrigger,
    parse_condition,
)
from tubcare.care.profile import profile_to_data
from tubcare.care.trigger_data import rules_to_data
from tubcare.store.tables import (
    CompletionRow,
    DipRow,
    ReadingRow,
    StateChangeRow,
    TaskRow,
    TubRow,
)
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, MonthDay, TaskId, TubId, TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

TODAY = date(2026, 7, 20)
NOON = datetime.combine(TODAY, time(12), tzinfo=UTC)
TUB = TubId(1)
OPENS, CLOSES = MonthDay(month=4, day=15), MonthDay(month=10, day=31)
#: WKST is written where it counts, because dateutil would ask the process for it.
RULES = (
    "FREQ=DAILY",
    "FREQ=DAILY;INTERVAL=3",
    "FREQ=WEEKLY;BYDAY=SA",
    "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU;WKST=MO",
    "FREQ=MONTHLY;BYMONTHDAY=15",
    "FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=-1",
    "FREQ=MONTHLY;BYDAY=2SA",
    "FREQ=YEARLY;BYMONTH=10;BYMONTHDAY=20",
    "FREQ=WEEKLY;BYMONTH=4,5,6,7,8,9,10;BYDAY=SU",
    "FREQ=YEARLY;INTERVAL=2;BYMONTH=11;BYDAY=-1SA",
)


def triggers(number: int, years: int) -> tuple[Trigger, ...]:
    """Return triggers of a mixed plan: four tasks in ten on set dates, the others of each kind."""
    start = date(2026 - years, 1 + number % 12, 1 + number % 28)
    calendar = CalendarTrigger(rule=RULES[number // 10 % 10], start=start)
    days = ElapsedTrigger(every=Interval(count=(7, 14, 30)[number % 3], period=Period.DAY))
    months = ElapsedTrigger(every=Interval(count=(1, 3, 6)[number % 3], period=Period.MONTH))
    kinds: tuple[tuple[Trigger, ...], ...] = (
        (calendar,),
        (calendar,),
        (calendar,),
        (calendar, days),
        (days,),
        (months,),
        (months, UseTrigger(counter=Counter.DIP, amount=40)),
        (SeasonTrigger(edge=Edge.CLOSING, offset_days=-7),),
        (ReadingTrigger(condition=parse_condition("ph outside range")), days),
        (OnceTrigger(on=TODAY + timedelta(days=number % 50)),),
    )
    return kinds[number % 10]


def plan(
    years: int, size: int
) -> tuple[list[Task], dict[TaskId, TaskFacts], dict[TubId, TubFacts]]:
    """Return tasks that began `years` ago, with the facts that decide today."""
    tasks: list[Task] = []
    facts: dict[TaskId, TaskFacts] = {}
    for number in range(size):
        task_id = TaskId(number)
        tasks.append(
            Task(
                id=task_id,
                tub_id=TUB,
                title=f"Task {number}",
                category=Category.WATER,
                triggers=triggers(number, years),
                starts_on=date(2026 - years, 1, 1),
                scope=(Scope.ALWAYS, Scope.IN_SEASON)[number // 10 % 2],
                out_of_scope=tuple(OutOfScope)[number // 20 % 3],
            )
        )
        on = TODAY - timedelta(days=1 + number * 7 % 20)
        closing = Closing(
            id=CompletionId(number),
            key="start:1",
            outcome=Outcome.DONE,
            on=on,
            due_on=on,
            counters={Counter.DIP: 880.0},
        )
        facts[task_id] = TaskFacts() if number % 10 == 9 else TaskFacts(closing=closing)
    return tasks, facts, {TUB: tub(years)}


def tub(years: int) -> TubFacts:
    """Return what is on record about the tub of the plan."""
    turns = [
        (on, state)
        for year in range(2026 - years, 2027)
        for on, state in (
            (date(year, 4, 15), TubState.OPEN),
            (date(year, 10, 31), TubState.CLOSED),
        )
        if on <= TODAY
    ]
    return TubFacts(
        tub_id=TUB,
        states=tuple(
            StateChange(id=number, on=on, state=state)
            for number, (on, state) in enumerate(turns, start=1)
        ),
        plan=SeasonPlan(opens=OPENS, closes=CLOSES),
        counters={Counter.DIP: CounterState(now=900.0, daily_rate=1.3, as_of=TODAY)},
        readings={"ph": Reading(quantity="ph", value=7.9, taken_on=TODAY, taken_at=NOON)},
        ranges={"ph": Range(low=7.2, high=7.6)},
    )


def keep(desk: Desk, size: int, years: int, ticks_a_year: int) -> None:
    """Put the plan into a logbook in UTC, each task with its ticks since it began."""
    tasks, facts, tubs = plan(years, size)
    profile = TubProfile(name="North", zone="UTC", season_opens=OPENS, season_closes=CLOSES)
    told = {"tub_id": TUB, "at": NOON, "on_date": TODAY, "note": ""}
    with desk.store.write() as unit:
        tub_row = {"id": TUB, "name": "North", "zone": "UTC", "added_on": TODAY}
        put = unit.connection.execute
        put(insert(table_of(TubRow)), tub_row | {"profile": profile_to_data(profile)})
        put(
            insert(table_of(StateChangeRow)),
            [
                {"tub_id": TUB, "on_date": change.on, "state": change.state.value, "note": ""}
                for change in tubs[TUB].states
            ],
        )
        put(insert(table_of(DipRow)), [told | {"dips": 20}])
        put(insert(table_of(ReadingRow)), [told | {"quantity": "ph", "value": 7.9}])
        put(insert(table_of(TaskRow)), [_task_row(task) for task in tasks])
        for task in tasks:
            last = facts[task.id].closing
            if last is not None:
                ticks = years * ticks_a_year
                put(
                    insert(table_of(CompletionRow)),
                    [
                        _tick_row(task, n, last.on - timedelta(days=(ticks - 1 - n) * 7))
                        for n in range(ticks)
                    ],
                )


def _task_row(task: Task) -> dict[str, object]:
    return {
        "id": task.id + 1,
        "tub_id": task.tub_id,
        "title": task.title,
        "category": task.category.value,
        "plan": rules_to_data(task),
        "card": {},
        "starts_on": task.starts_on,
        "reminds": True,
        "active": True,
        "revision": 1,
    }


def _tick_row(task: Task, number: int, on: date) -> dict[str, object]:
    return {
        "task_id": task.id + 1,
        "key": f"before:{number}",
        "outcome": "done",
        "on_date": on,
        "at": datetime.combine(on, time(12), tzinfo=UTC),
        "due_on": on,
        "on_time": True,
        "missed": 0,
        "note": "",
    }
