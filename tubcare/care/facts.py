"""What has happened, as far as it decides what is due next."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from tubcare.care.terms import Counter, InspectionResult, Outcome, TubState
    from tubcare.values import CompletionId, MonthDay, TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """The completion or skip that closed an occurrence.

    `on` is the local date of the work, `at` the instant of the record, `due_on` the date that it
    was due on. `counters` holds the tub's counters at that time. `anchor_day` is the day of the
    month that a chain of monthly due dates keeps, where it differs from the day of `on`.
    """

    id: CompletionId
    key: str
    outcome: Outcome
    on: date
    at: datetime | None = None
    due_on: date | None = None
    result: InspectionResult | None = None
    counters: Mapping[Counter, float] = field(default_factory=dict)
    anchor_day: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOff:
    """An occurrence was moved to another date, on the day `made_on`."""

    key: str
    to: date
    made_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterState:
    """A counter as it stands, on the day of its newest record, and its recent use a day."""

    now: float
    daily_rate: float
    as_of: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A measured value: its local date and its instant (UTC).

    `band` holds both ends of what a strip's colour stands for; the value is its middle then.
    """

    quantity: str
    value: float
    taken_on: date
    taken_at: datetime
    band: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The range in which a quantity of this tub should lie; None leaves that end open."""

    low: float | None
    high: float | None

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise InputError("range", "its low end lies above its high end")


@dataclass(frozen=True, slots=True, kw_only=True)
class StateChange:
    """A tub entered a state on a day."""

    id: int
    on: date
    state: TubState


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPlan:
    """The planned open season; it may wrap over New Year. `closes` is its first closed day."""

    opens: MonthDay
    closes: MonthDay

    def __post_init__(self) -> None:
        if self.opens == self.closes:
            raise InputError("season", "a tub that is open all year has no planned season")


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostDates:
    """From when frost must be watched for, and by when the tub must be dry, at one risk.

    A date that is None does not come at that risk, or is told at another one. `risk_percent` is
    None for dates that a person knows without a risk.
    """

    watch_from: MonthDay | None
    dry_by: MonthDay | None
    risk_percent: int | None = 10

    def __post_init__(self) -> None:
        if self.risk_percent is not None and not 1 <= self.risk_percent <= 99:
            raise OutOfRangeError("risk_percent", self.risk_percent, 1, 99)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskFacts:
    """What is on record about one task.

    `closing` is the newest completion or skip that closed an occurrence. `put_offs`, oldest first,
    may hold those of earlier occurrences: only those of the open one count. `start_counters`
    are the tub's counters on the day the task began.
    """

    closing: Closing | None = None
    put_offs: tuple[PutOff, ...] = ()
    start_counters: Mapping[Counter, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubFacts:
    """What is on record about one tub.

    `states` is in order of date. `plan` None means open all year. `readings` holds the newest one
    of each quantity. `settles_at` says for a quantity when the newest dose will have mixed and
    reacted; readings taken before then ask for nothing.
    """

    tub_id: TubId
    states: tuple[StateChange, ...] = ()
    plan: SeasonPlan | None = None
    counters: Mapping[Counter, CounterState] = field(default_factory=dict)
    readings: Mapping[str, Reading] = field(default_factory=dict)
    ranges: Mapping[str, Range] = field(default_factory=dict)
    frost: tuple[FrostDates, ...] = ()
    settles_at: Mapping[str, datetime] = field(default_factory=dict)


NO_FACTS = TaskFacts()
