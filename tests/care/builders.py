"""Tubs, tasks and facts with everything that a test does not speak of filled in."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from tubcare.care.model import (
    CalendarTrigger,
    Category,
    Closing,
    Counter,
    CounterState,
    ElapsedTrigger,
    InspectionResult,
    Interval,
    Occurrence,
    Outcome,
    OutOfScope,
    Period,
    PutOff,
    Reading,
    Scope,
    SeasonPlan,
    StateChange,
    Task,
    TaskFacts,
    TubFacts,
    TubState,
)
from tubcare.care.occurrences import occurrence
from tubcare.values import CompletionId, MonthDay, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.care.model import FrostDates, Range, Tolerance, Trigger

TUB = TubId(1)
START = date(2026, 1, 1)
#: Open from 15 April to 31 October, a northern summer.
SUMMER = SeasonPlan(opens=MonthDay(month=4, day=15), closes=MonthDay(month=10, day=31))
#: Open from 1 November to 31 March: over New Year.
WINTER = SeasonPlan(opens=MonthDay(month=11, day=1), closes=MonthDay(month=3, day=31))


def day(text: str) -> date:
    return date.fromisoformat(text)


def days(*texts: str) -> tuple[date, ...]:
    return tuple(map(day, texts))


def every(count: int, period: Period = Period.DAY) -> ElapsedTrigger:
    return ElapsedTrigger(every=Interval(count=count, period=period))


def rule(text: str, start: str = "2026-01-01") -> CalendarTrigger:
    return CalendarTrigger(rule=text, start=day(start))


def task(  # noqa: PLR0913  a task has many parts
    *triggers: Trigger,
    number: int = 1,
    starts_on: str = "2026-01-01",
    scope: Scope = Scope.ALWAYS,
    out_of_scope: OutOfScope = OutOfScope.MOVE_TO_START,
    category: Category = Category.WATER,
    first_due_on: str | None = None,
    tolerance: Tolerance | None = None,
    no_grace: bool = False,
    cosmetic: bool = False,
    safety: bool = False,
    round_name: str = "",
    minutes: int = 0,
    result_intervals: Mapping[InspectionResult, Interval] | None = None,
) -> Task:
    return Task(
        id=TaskId(number),
        tub_id=TUB,
        title=f"Task {number}",
        category=category,
        triggers=triggers,
        starts_on=day(starts_on),
        scope=scope,
        out_of_scope=out_of_scope,
        first_due_on=None if first_due_on is None else day(first_due_on),
        tolerance=tolerance,
        no_grace=no_grace,
        cosmetic=cosmetic,
        safety=safety,
        round_name=round_name,
        minutes=minutes,
        result_intervals=result_intervals or {},
    )


def done(  # noqa: PLR0913  a closing has many parts
    on: str,
    *,
    due: str | None = None,
    number: int = 1,
    key: str = "start:1",
    outcome: Outcome = Outcome.DONE,
    at: datetime | None = None,
    result: InspectionResult | None = None,
    counters: Mapping[Counter, float] | None = None,
    anchor_day: int | None = None,
    put_offs: tuple[PutOff, ...] = (),
) -> TaskFacts:
    return TaskFacts(
        closing=Closing(
            id=CompletionId(number),
            key=key,
            outcome=outcome,
            on=day(on),
            at=at,
            due_on=day(due or on),
            result=result,
            counters=counters or {},
            anchor_day=anchor_day,
        ),
        put_offs=put_offs,
    )


def skipped(on: str, *, due: str, counters: Mapping[Counter, float] | None = None) -> TaskFacts:
    return done(on, due=due, outcome=Outcome.SKIPPED, counters=counters)


def states(*changes: tuple[str, TubState]) -> tuple[StateChange, ...]:
    return tuple(
        StateChange(id=number, on=day(on), state=state)
        for number, (on, state) in enumerate(changes, start=1)
    )


def tub(
    *changes: tuple[str, TubState],
    plan: SeasonPlan | None = None,
    counters: Mapping[Counter, CounterState] | None = None,
    readings: tuple[Reading, ...] = (),
    ranges: Mapping[str, Range] | None = None,
    frost: tuple[FrostDates, ...] = (),
    settles_at: Mapping[str, datetime] | None = None,
) -> TubFacts:
    return TubFacts(
        tub_id=TUB,
        states=states(*changes),
        plan=plan,
        counters=counters or {},
        readings={each.quantity: each for each in readings},
        ranges=ranges or {},
        frost=frost,
        settles_at=settles_at or {},
    )


def at(on: str, clock: str = "12:00") -> datetime:
    return datetime.combine(day(on), time.fromisoformat(clock), tzinfo=UTC)


def reading(quantity: str, value: float, on: str, clock: str = "12:00") -> Reading:
    return Reading(quantity=quantity, value=value, taken_on=day(on), taken_at=at(on, clock))


def open_one(each: Task, facts: TaskFacts | None, of: TubFacts, today: str) -> Occurrence:
    """Return the open occurrence, which has to be there."""
    found = occurrence(each, facts, of, day(today))
    assert found is not None
    return found


def due(each: Task, facts: TaskFacts | None, of: TubFacts, today: str) -> date:
    return open_one(each, facts, of, today).due_on


OPENED_2025 = ("2025-04-15", TubState.OPEN)
CLOSED_2025 = ("2025-10-31", TubState.CLOSED)
OPENED_2026 = ("2026-04-20", TubState.OPEN)
WINTERED = tub(OPENED_2025, CLOSED_2025, plan=SUMMER)
REOPENED = tub(OPENED_2025, CLOSED_2025, OPENED_2026, plan=SUMMER)
