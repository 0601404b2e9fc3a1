"""How fast the list of what is due is made: against python-dateutil, and with a long history.

Run with TUBCARE_BENCH=1 for the full size and the bounds; the figures are printed (pytest -s).
The baseline is the same engine with the same facts, in which python-dateutil finds the dates of
the rules; both lists must be equal. All else, which is not recurrence, costs the baseline no more.
"""

from __future__ import annotations

import os
from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING

from dateutil.rrule import rrulestr

from tubcare.care.forecast import forecast
from tubcare.care.model import (
    CalendarTrigger,
    Category,
    Closing,
    Counter,
    CounterState,
    Edge,
    ElapsedTrigger,
    Interval,
    Occurrence,
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
from tubcare.care.occurrences import occurrences
from tubcare.values import CompletionId, MonthDay, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

FULL = bool(os.environ.get("TUBCARE_BENCH"))
SIZE = 1_000 if FULL else 40
TODAY = date(2026, 7, 20)
TUB = TubId(1)
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


def plan(years: int) -> tuple[list[Task], dict[TaskId, TaskFacts], dict[TubId, TubFacts]]:
    """Return tasks that began `years` ago, with the facts that decide today."""
    tasks: list[Task] = []
    facts: dict[TaskId, TaskFacts] = {}
    for number in range(SIZE):
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
    turns = [
        (on, state)
        for year in range(2026 - years, 2027)
        for on, state in (
            (date(year, 4, 15), TubState.OPEN),
            (date(year, 10, 31), TubState.CLOSED),
        )
        if on <= TODAY
    ]
    noon = datetime.combine(TODAY, time(12), tzinfo=UTC)
    return TubFacts(
        tub_id=TUB,
        states=tuple(
            StateChange(id=number, on=on, state=state)
            for number, (on, state) in enumerate(turns, start=1)
        ),
        plan=SeasonPlan(opens=MonthDay(month=4, day=15), closes=MonthDay(month=10, day=31)),
        counters={Counter.DIP: CounterState(now=900.0, daily_rate=1.3, as_of=TODAY)},
        readings={"ph": Reading(quantity="ph", value=7.9, taken_on=TODAY, taken_at=noon)},
        ranges={"ph": Range(low=7.2, high=7.6)},
    )


class DateutilRule:
    """A rule whose dates python-dateutil finds."""

    def __init__(self, trigger: CalendarTrigger) -> None:
        self._rule = rrulestr(trigger.rule, dtstart=datetime.combine(trigger.start, time()))
        self.gap_days = trigger.compiled.gap_days

    def scan(self, low: int, high: int) -> list[int]:
        first, last = datetime.fromordinal(low), datetime.fromordinal(high)
        return [at.toordinal() for at in self._rule.between(first, last, inc=True)]

    def first(self, low: int) -> int | None:
        at = self._rule.after(datetime.fromordinal(low), inc=True)
        return None if at is None else at.toordinal()


@contextmanager
def dates_by_dateutil(tasks: list[Task]) -> Iterator[None]:
    found = [t for task in tasks for t in task.triggers if isinstance(t, CalendarTrigger)]
    ours = [trigger.compiled for trigger in found]
    for trigger in found:
        object.__setattr__(trigger, "compiled", DateutilRule(trigger))
    yield
    for trigger, compiled in zip(found, ours, strict=True):
        object.__setattr__(trigger, "compiled", compiled)


def ms(work: Callable[[], object], times: int) -> list[float]:
    taken = []
    for _ in range(times):
        start = perf_counter()
        work()
        taken.append((perf_counter() - start) * 1000)
    return taken


def test_the_list_of_a_mixed_plan_against_dateutil() -> None:
    tasks, facts, tubs = plan(10)

    def make() -> list[Occurrence]:
        return occurrences(tasks, facts, tubs, TODAY)

    mine: list[float] = []
    baseline: list[float] = []
    for _ in range(3):
        mine += ms(make, 10)
        with dates_by_dateutil(tasks):
            baseline += ms(make, 1)
            by_dateutil = make()
        assert by_dateutil == make()
    # The best of each: whatever else this computer does only ever adds.
    ratio = min(baseline) / min(mine)
    print(  # noqa: T201  the figure is the point
        f"{SIZE} mixed tasks, 10 years old: {min(mine):.2f} ms, "
        f"with dateutil {min(baseline):.0f} ms, {ratio:.0f}x"
    )
    if FULL:
        assert ratio >= 100


def test_ten_years_cost_what_one_year_costs() -> None:
    old, young = plan(10), plan(1)
    pairs = [
        (
            ms(lambda: occurrences(*old, TODAY), 1)[0],
            ms(lambda: occurrences(*young, TODAY), 1)[0],
        )
        for _ in range(21)
    ]
    ratio = median(ten for ten, _ in pairs) / median(one for _, one in pairs)
    print(f"ten years against one: {ratio:.2f}x")  # noqa: T201  the figure is the point
    if FULL:
        assert ratio <= 1.2


def test_a_year_of_forecast() -> None:
    tasks, facts, tubs = plan(10)
    few = tasks[: SIZE // 20]
    start = perf_counter()
    found = forecast(few, facts, tubs, TODAY, TODAY + timedelta(days=365))
    taken = (perf_counter() - start) * 1000
    print(f"forecast of {len(few)} tasks over a year: {len(found)} dates, {taken:.1f} ms")  # noqa: T201  the figure is the point
    assert found
