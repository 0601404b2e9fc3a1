"""Where a procedure stands: which step is next, and until when it waits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from tubcare.care.plan_card import Step


class StepState(StrEnum):
    """Where one step stands. `WAITING` is the next step while a waiting time still runs."""

    DONE = "done"
    NEXT = "next"
    WAITING = "waiting"
    LATER = "later"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepStand:
    """One step of a procedure: when it was done, and from when on it may be done."""

    state: StepState
    done_at: datetime | None
    ready_at: datetime | None
    """When the waiting time before it ends, None where nothing has to be waited for (yet)."""


def step_stands(
    steps: Sequence[Step], ticked: Mapping[int, datetime], now: datetime
) -> tuple[StepStand, ...]:
    """Return where each step stands.

    Parameters
    ----------
    ticked
        By the place of a step, counted from 0, when it was done.
    now
        The instant that waiting times are held against.
    """
    first_open = next((at for at in range(len(steps)) if at not in ticked), len(steps))
    ready = ready_at(steps, ticked, first_open)
    stands = []
    for at in range(len(steps)):
        done = ticked.get(at)
        until = ready if at == first_open else None
        if done is not None:
            state = StepState.DONE
        elif at != first_open:
            state = StepState.LATER
        else:
            state = StepState.NEXT if until is None or until <= now else StepState.WAITING
        stands.append(StepStand(state=state, done_at=done, ready_at=until))
    return tuple(stands)


def ready_at(
    steps: Sequence[Step], ticked: Mapping[int, datetime], before: int
) -> datetime | None:
    """Return when the last waiting time ends that was begun before a step, None for none."""
    ends = [
        ticked[at] + timedelta(hours=steps[at].wait_after_h)
        for at in range(before)
        if at in ticked and steps[at].wait_after_h
    ]
    return max(ends, default=None)
