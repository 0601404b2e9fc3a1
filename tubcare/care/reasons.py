"""Why an occurrence is due: figures only; the sentences are made elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.condition import Condition
    from tubcare.care.facts import Range
    from tubcare.care.terms import Counter, Edge, InspectionResult
    from tubcare.care.triggers import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleReason:
    """A date of the calendar rule; `moved_from` is the date itself where it lay out of scope."""

    rule: str
    on: date
    moved_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ElapsedReason:
    """So long since `since`: the last time, a skipped due date, or the season's opening.

    `paused_days` were left out of the count; `result` is the inspection result that chose `every`.
    """

    every: Interval
    since: date
    since_opening: bool = False
    paused_days: int = 0
    result: InspectionResult | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UseReason:
    """`used` of `amount` since the last time, at `daily_rate` a day."""

    counter: Counter
    amount: float
    used: float
    daily_rate: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonReason:
    """So many days from an edge of the season; `planned` while the edge is not on record."""

    edge: Edge
    edge_on: date
    offset_days: int
    planned: bool
    risk_percent: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingReason:
    """A reading asked for it."""

    condition: Condition
    value: float
    taken_on: date
    allowed: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OnceReason:
    """The one date that was set."""

    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstReason:
    """The first date, chosen when the task began, without any history."""

    on: date


Reason = (
    RuleReason
    | ElapsedReason
    | UseReason
    | SeasonReason
    | ReadingReason
    | OnceReason
    | FirstReason
)
