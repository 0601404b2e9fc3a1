"""A reading against the tub's ranges: inside, below or above, and how old. Never "safe"."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.water import masses
from tubcare.water.balance import balance
from tubcare.water.ranges import Quantity, Range

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime, timedelta

    from tubcare.water.reading import WaterTest

# Between -0.3 and +0.5 nothing much falls or dissolves (ANSI/APSP/ICC-11, from memory).
SATURATION_LOW = -0.3
SATURATION_HIGH = 0.5
# Readings that are possible but rare enough to ask about. Own choice.
_UNLIKELY: tuple[tuple[str, float, float], ...] = (
    ("ph", 6.0, 9.0),
    ("alkalinity_mg_l", 5.0, 300.0),
    ("calcium_mg_l", 0.0, 600.0),
    ("free_chlorine_mg_l", 0.0, 15.0),
    ("bromine_mg_l", 0.0, 20.0),
    ("cyanuric_acid_mg_l", 0.0, 100.0),
    ("tds_mg_l", 10.0, 3000.0),
)
_JUMP: tuple[tuple[str, float], ...] = (("ph", 1.0), ("alkalinity_mg_l", 60.0))


class Verdict(StrEnum):
    """Where a value lies."""

    INSIDE = "inside"
    BELOW = "below"
    ABOVE = "above"


class Scaling(StrEnum):
    """What the saturation index means."""

    DISSOLVES = "dissolves"
    BALANCED = "balanced"
    DEPOSITS = "deposits"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One quantity against its range."""

    quantity: Quantity
    value: float
    verdict: Verdict
    limits: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A value to query, never to change: unlikely by itself or against the last one."""

    field: str
    value: float
    previous: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterState:
    """The facts to show whoever asks about the water; it holds no verdict on people.

    `findings` with those outside first; `age` of the reading; `waiting` what is left of the wait
    after the last dose, None when none is running.
    """

    findings: tuple[Finding, ...]
    age: timedelta
    waiting: timedelta | None

    @property
    def inside(self) -> bool:
        """Whether every measured quantity lies inside its range."""
        return all(finding.verdict is Verdict.INSIDE for finding in self.findings)


def assess(test: WaterTest, ranges: Mapping[Quantity, Range]) -> tuple[Finding, ...]:
    """Return each measured quantity against its range, those outside first."""
    found = []
    for quantity, limits in ranges.items():
        value = measured(test, quantity)
        if value is None:
            continue
        verdict = Verdict.INSIDE
        if limits.low is not None and value < limits.low:
            verdict = Verdict.BELOW
        elif limits.high is not None and value > limits.high:
            verdict = Verdict.ABOVE
        found.append(Finding(quantity=quantity, value=value, verdict=verdict, limits=limits))
    found.sort(key=lambda finding: finding.verdict is Verdict.INSIDE)
    return tuple(found)


def measured(test: WaterTest, quantity: Quantity) -> float | None:
    """Return the value of a quantity in a test; None where the test does not hold it."""
    if quantity is Quantity.COMBINED_CHLORINE:
        if test.total_chlorine_mg_l is None:
            return None
        return max(0.0, test.total_chlorine_mg_l - test.free_chlorine_mg_l)
    name = "ph" if quantity is Quantity.PH else f"{quantity.value}_mg_l"
    value: float | None = getattr(test, name)
    return value


def scaling(test: WaterTest) -> tuple[float, Scaling]:
    """Return the saturation index and what it means for scale; databases differ by 0.15."""
    index = balance(test).saturation_index
    if index < SATURATION_LOW:
        return index, Scaling.DISSOLVES
    if index > SATURATION_HIGH:
        return index, Scaling.DEPOSITS
    return index, Scaling.BALANCED


def water_state(
    test: WaterTest,
    ranges: Mapping[Quantity, Range],
    *,
    tested_at: datetime,
    now: datetime,
    wait_until: datetime | None = None,
) -> WaterState:
    """Return the facts: readings inside or outside, age of the reading, wait still running."""
    waiting = None
    if wait_until is not None and wait_until > now:
        waiting = wait_until - now
    return WaterState(findings=assess(test, ranges), age=now - tested_at, waiting=waiting)


def doubts(test: WaterTest, previous: Sequence[WaterTest] = ()) -> tuple[Doubt, ...]:
    """Return the values to query before they are stored; nothing is ever changed.

    A value is doubted outside the usual span, when it jumped against the last test, and when the
    total chlorine is below the free.
    """
    found: list[Doubt] = []
    for field, low, high in _UNLIKELY:
        value: float | None = getattr(test, field)
        if value is not None and not low <= value <= high:
            found.append(Doubt(field=field, value=value, previous=None))
    total = test.total_chlorine_mg_l
    if total is not None and total < test.free_chlorine_mg_l - 0.1:
        found.append(Doubt(field="total_chlorine_mg_l", value=total, previous=None))
    if previous:
        for field, jump in _JUMP:
            now, before = getattr(test, field), getattr(previous[-1], field)
            if abs(now - before) > jump:
                found.append(Doubt(field=field, value=now, previous=before))
    return tuple(found)


def bound_by_cyanurate(test: WaterTest) -> float:
    """Return the share of the free-chlorine reading that cyanurate holds back [-], 0..1."""
    if test.free_chlorine_mg_l <= 0.0:
        return 0.0
    species = balance(test).species
    free = (species.hypochlorous_acid + species.hypochlorite) * masses.CHLORINE
    return max(0.0, 1.0 - free / test.free_chlorine_mg_l)
