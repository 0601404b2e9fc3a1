"""The dosing plan of a tub as the services hand it out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from tubcare.services.measures import TubPlace
    from tubcare.values import SupplyId
    from tubcare.water.draining import Neutralising
    from tubcare.water.kit import Kit
    from tubcare.water.plan_model import DosingPlan, PlanStep
    from tubcare.water.ranges import Quantity
    from tubcare.water.strips import Assumption


class PlanState(StrEnum):
    """Why there are steps, or why there are none."""

    STEPS = "steps"
    NOTHING_TO_DO = "nothing_to_do"
    OUT_OF_REACH = "out_of_reach"
    """Something lies outside its range, and no step with what is on the shelf mends it."""
    NO_TEST = "no_test"
    TOO_OLD = "too_old"
    FROZEN = "frozen"
    DRAINED = "drained"
    CONTRADICTION = "contradiction"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone:
    """When a step was done, when the next may follow, and from when a reading counts.

    `who` is known where something was added.
    """

    at: datetime
    ready_at: datetime
    wait_until: datetime
    who: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """One step of the plan; `supply` is what it takes from the shelf.

    `own_cautions` belong to what is added, `general_cautions` to every product.
    """

    number: int
    step: PlanStep
    own_cautions: tuple[str, ...]
    general_cautions: tuple[str, ...]
    supply: SupplyId | None
    done: StepDone | None
    neutralise: Neutralising | None = None
    """What ends the sanitiser of the water that goes out; None where none goes or none is in."""
    drained_ph: float | None = None
    """The pH of that water afterwards; None where it was not worked out."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """All that stands beside the step."""
        return (*self.own_cautions, *self.general_cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutShort:
    """The wait after the step of a number, in which the next was done; it may be over by now."""

    after: int
    until: datetime
    is_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TickedStep:
    """A step that was written down; `cut_short` is None where no wait ran when it was done."""

    planned: PlannedStep
    cut_short: CutShort | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterPlan:
    """What to do about the water of one tub.

    Attributes
    ----------
    test_at
        Instant of the test that it stands on; names the plan.
    whole
        The plan as worked out; None where there is none.
    steps
        Its steps with their ticks.
    quantities
        What the tub has a range for, and was read or is moved by a step.
    unread
        Sanitisers that were not read with the test: the plan leaves them alone.
    other_doses
        Products added since the test outside the plan: with them the plan no longer holds.
    next_at
        When the next step may follow; None where no wait runs.
    retest_at
        From when a new test counts; None before any step.
    """

    tub: TubPlace
    kit: Kit
    state: PlanState
    test_at: datetime | None
    whole: DosingPlan | None
    steps: tuple[PlannedStep, ...]
    assumed: tuple[Assumption, ...]
    quantities: tuple[Quantity, ...]
    unread: frozenset[Quantity]
    other_doses: tuple[str, ...]
    next_at: datetime | None
    retest_at: datetime | None

    @property
    def earliest(self) -> datetime | None:
        """The test, or the newest step that is done: no further step can be older."""
        done = [each.done.at for each in self.steps if each.done is not None]
        return max([*done, *([] if self.test_at is None else [self.test_at])], default=None)

    @property
    def next_step(self) -> PlannedStep | None:
        """The first step that is not done."""
        return next((each for each in self.steps if each.done is None), None)
