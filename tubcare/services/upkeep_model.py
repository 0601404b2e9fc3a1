"""What can be said of work, and what is told of it once it is recorded."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.care.model import InspectionResult, TubState
    from tubcare.ledger.lots import ShelfNote
    from tubcare.services.follow_ups import FollowUpTask
    from tubcare.values import CompletionId, SupplyId, TaskId

UPKEEP_TOPICS = frozenset({Topic.UPKEEP, Topic.MONEY, Topic.STOCK, Topic.TUBS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What was done, beyond the plain tick; None everywhere means as usual.

    `uses` maps supplies to thousandths of their unit; `cost_minor` is money paid besides stock.
    """

    on: date | None = None
    person: str | None = None
    minutes: int | None = None
    note: str = ""
    result: InspectionResult | None = None
    uses: Mapping[SupplyId, int] | None = None
    cost_minor: int | None = None


AS_USUAL = Work()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What a tick, skip or put-off recorded, and what comes next.

    `entered` is the state that the tub entered with it, as at the end of the closing procedure;
    `follow_up` the single task that the result of an inspection opened; `lacked` what the shelf
    lacked for it.
    """

    task: TaskId
    title: str
    completion: CompletionId | None
    on: date
    cost_minor: int
    uses: Mapping[SupplyId, int] = field(default_factory=dict)
    next_due: date | None = None
    asks_longer_interval: bool = False
    entered: TubState | None = None
    follow_up: FollowUpTask | None = None
    lacked: tuple[ShelfNote, ...] = ()
