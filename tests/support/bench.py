"""Figures: how long something takes, beside a baseline of the same run.

`TUBCARE_BENCH=1` makes them full in size and holds the bounds; else they are a smoke test.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

FULL = os.environ.get("TUBCARE_BENCH") == "1"


@dataclass(frozen=True, slots=True)
class Figure:
    """What was measured, in milliseconds, and the same for the baseline.

    Of many rounds the best counts: whatever else this computer does only ever adds.
    """

    ours: list[float]
    base: list[float]

    @property
    def best_ms(self) -> float:
        return min(self.ours)

    @property
    def base_ms(self) -> float:
        return min(self.base)

    @property
    def ratio(self) -> float:
        return self.best_ms / self.base_ms

    def told(self, what: str, baseline: str) -> None:
        """Print the figure (pytest -s)."""
        print(  # noqa: T201  the figure is the point
            f"\n{what}: {self.best_ms:.2f} ms (median {median(self.ours):.2f}); "
            f"{baseline}: {self.base_ms:.2f} ms (median {median(self.base):.2f}); "
            f"{self.ratio:.2f}x"
        )


def ms(work: Callable[[], object]) -> float:
    """Return how many milliseconds one call took."""
    start = perf_counter()
    work()
    return (perf_counter() - start) * 1000


def times_ms(work: Callable[[], object], rounds: int) -> list[float]:
    """Return how many milliseconds each of some calls took."""
    return [ms(work) for _ in range(rounds)]


def best_ms(work: Callable[[], object], rounds: int = 5) -> float:
    """Return how many milliseconds the best of some calls took."""
    return min(times_ms(work, rounds))


def children_ms(work: Callable[[], object]) -> float:
    """Return for how many milliseconds the processes that one call started used the processor."""
    before = os.times()
    work()
    after = os.times()
    used = after.children_user - before.children_user
    return (used + after.children_system - before.children_system) * 1000


def beside(ours: Callable[[], object], base: Callable[[], object], rounds: int) -> Figure:
    """Measure two things in turns, so that both meet the same moments of this computer."""
    pairs = [(ms(ours), ms(base)) for _ in range(rounds)]
    return Figure([mine for mine, _ in pairs], [theirs for _, theirs in pairs])
