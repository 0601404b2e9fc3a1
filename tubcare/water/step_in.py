"""The facts for whoever wants to step into a tub; they hold no verdict on people."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class StepIn:
    """What is known of the water.

    Attributes
    ----------
    inside, outside, unknown
        How many readings lie inside and outside the tub's ranges, and how many are not known.
    age
        How old the newest test is, None where there is none.
    added
        How long ago a dose or fresh water went in after that test, None where nothing did.
    waiting
        What is left of the wait after a dose, None where no wait runs.
    drained
        The tub is closed and holds no water.
    """

    inside: int
    outside: int
    unknown: int
    age: timedelta | None
    added: timedelta | None = None
    waiting: timedelta | None = None
    drained: bool = False
