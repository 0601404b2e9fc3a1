"""Why an occurrence is due: figures only; the sentences are made elsewhere.

Named tuples, because every occurrence of every list gets one: a frozen dataclass takes three times
as long to make.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.condition import Condition
    from tubcare.care.facts import Range
    from tubcare.care.terms import Counter, Edge, InspectionResult
    from tubcare.care.triggers import Interval


class RuleReason(NamedTuple):
    """A date of the calendar rule; `moved_from` is the date itself where it lay out of scope."""

    rule: str
    on: date
    moved_from: date | None = None


class ElapsedReason(NamedTuple):
    """So long since `since`: the last time, a skipped due date, or the season's opening.

    For work on a closed tub that season begins with the closing, told by `since_closing`.
    `paused_days` were left out of the count; `result` is the inspection result that chose `every`.
    """

    every: Interval
    since: date
    since_opening: bool = False
    paused_days: int = 0
    result: InspectionResult | None = None
    since_closing: bool = False


class UseReason(NamedTuple):
    """`used` of `amount` since the last time, at `daily_rate` a day."""

    counter: Counter
    amount: float
    used: float
    daily_rate: float


class SeasonReason(NamedTuple):
    """So many days from an edge of the season; `planned` while the edge is not on record."""

    edge: Edge
    edge_on: date
    offset_days: int
    planned: bool
    risk_percent: int | None = None


class ReadingReason(NamedTuple):
    """A reading asked for it."""

    condition: Condition
    value: float
    taken_on: date
    allowed: Range | None = None


class OnceReason(NamedTuple):
    """The one date that was set."""

    on: date


class FirstReason(NamedTuple):
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
