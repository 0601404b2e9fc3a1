"""A task as far as its scheduling goes, and one time that it falls due."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.condition import Condition, parse_condition
from tubcare.care.facts import (
    NO_FACTS,
    Closing,
    CounterState,
    FrostDates,
    PutOff,
    Range,
    Reading,
    SeasonPlan,
    StateChange,
    TaskFacts,
    TubFacts,
)
from tubcare.care.reasons import (
    ElapsedReason,
    FirstReason,
    OnceReason,
    ReadingReason,
    Reason,
    RuleReason,
    SeasonReason,
    UseReason,
)
from tubcare.care.terms import (
    Category,
    Comparison,
    Counter,
    Edge,
    InspectionResult,
    Outcome,
    OutOfScope,
    Period,
    Scope,
    Status,
    TubState,
)
from tubcare.care.triggers import (
    CalendarTrigger,
    ElapsedTrigger,
    Interval,
    OnceTrigger,
    ReadingTrigger,
    SeasonTrigger,
    Tolerance,
    Trigger,
    UseTrigger,
    check_day,
)
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.values import TaskId, TubId

__all__ = [
    "NO_FACTS",
    "CalendarTrigger",
    "Category",
    "Closing",
    "Comparison",
    "Condition",
    "Counter",
    "CounterState",
    "Edge",
    "ElapsedReason",
    "ElapsedTrigger",
    "FirstReason",
    "FrostDates",
    "InspectionResult",
    "Interval",
    "Occurrence",
    "OnceReason",
    "OnceTrigger",
    "OutOfScope",
    "Outcome",
    "Period",
    "PutOff",
    "Range",
    "Reading",
    "ReadingReason",
    "ReadingTrigger",
    "Reason",
    "RuleReason",
    "Scope",
    "SeasonPlan",
    "SeasonReason",
    "SeasonTrigger",
    "StateChange",
    "Status",
    "Task",
    "TaskFacts",
    "TaskForm",
    "Tolerance",
    "Trigger",
    "TubFacts",
    "TubState",
    "UseReason",
    "UseTrigger",
    "parse_condition",
]


class TaskForm(NamedTuple):
    """What follows from a task's triggers, worked out once.

    `labelled` says that all triggers are of one kind with dates of its own (calendar, season,
    reading, once), so that the date belongs to the key. `scope` is the scope that counts: a task
    that hangs on openings and closings alone is alive on either side of them. `rests` marks
    the chiller's own upkeep, which sleeps while the chiller rests.
    """

    scope: Scope
    labelled: bool
    once: bool
    rules: bool
    first: bool
    rests: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A piece of upkeep: what makes it due, when it is alive, and how much delay it bears.

    `first_due_on` is the first date where there is no history. `no_grace` tasks (frost, protective
    devices, electrics) are late the day after; `cosmetic` ones never escalate. `result_intervals`
    replace the interval after an inspection with that result. `round_name` names the round that a
    small task is offered with.
    """

    id: TaskId
    tub_id: TubId
    title: str
    category: Category
    triggers: tuple[Trigger, ...]
    starts_on: date
    scope: Scope = Scope.ALWAYS
    out_of_scope: OutOfScope = OutOfScope.MOVE_TO_START
    first_due_on: date | None = None
    tolerance: Tolerance | None = None
    no_grace: bool = False
    cosmetic: bool = False
    safety: bool = False
    result_intervals: Mapping[InspectionResult, Interval] = field(default_factory=dict)
    round_name: str = ""
    minutes: int = 0
    lead_days: int = 0
    form: TaskForm = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        if not self.triggers:
            raise InputError("triggers", "a task needs at least one trigger")
        check_day("starts_on", self.starts_on)
        if self.first_due_on is not None:
            check_day("first_due_on", self.first_due_on)
        if not self.title.strip():
            raise InputError("title", "a task needs a title")
        if not 0 <= self.minutes <= 10_080:
            raise OutOfRangeError("minutes", self.minutes, 0, 10_080)
        if not 0 <= self.lead_days <= 366:
            raise OutOfRangeError("lead_days", self.lead_days, 0, 366)
        object.__setattr__(self, "form", _form(self))


def _form(task: Task) -> TaskForm:
    triggers = task.triggers
    kinds = {type(trigger) for trigger in triggers}
    turns = all(
        isinstance(trigger, SeasonTrigger) and trigger.edge in {Edge.OPENING, Edge.CLOSING}
        for trigger in triggers
    )
    return TaskForm(
        scope=Scope.ALWAYS if turns else task.scope,
        labelled=len(kinds) == 1 and not kinds & {ElapsedTrigger, UseTrigger},
        once=kinds == {OnceTrigger},
        rules=CalendarTrigger in kinds,
        first=UseTrigger in kinds and not kinds & {ElapsedTrigger, CalendarTrigger},
        rests=(
            task.category is Category.CHILLER
            and task.scope is Scope.IN_SEASON
            and not (task.safety or task.no_grace)
        ),
    )


class Occurrence(NamedTuple):
    """One time that a task falls due. A tuple, because lists of thousands are made at once.

    Work from `opens_on` on closes it; it is on time up to `late_after`, late up to
    `overdue_after` (both None for tasks that never escalate). `about` marks a forecast date.
    `missed` are the newest dates (at most a year back) that a later one superseded. `put_offs`
    counts how often it was put off in a row, `put_off_from` is the date before that.
    """

    task_id: TaskId
    key: str
    status: Status
    opens_on: date
    due_on: date
    late_after: date | None
    overdue_after: date | None
    reason: Reason
    about: bool = False
    missed: tuple[date, ...] = ()
    put_offs: int = 0
    put_off_from: date | None = None
    anchor_day: int | None = None
