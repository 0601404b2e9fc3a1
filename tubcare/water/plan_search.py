"""The search for the fewest additions that bring a water into its ranges.

Totals add up whatever the order, so the end of a plan can be found before its order: sanitiser and
calcium follow from their balance, and pH with alkalinity is hit by none, one or two of the acids,
bases and airing. Two of them meet both aims exactly: at the aimed pH and alkalinity the carbon is
known, and the doses follow from two linear equations.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError, OutOfRangeError
from tubcare.water import masses
from tubcare.water.compounds import (
    ACIDS,
    HIGHEST_DOSE_MG_L,
    STRONG_BASES,
    Effect,
    shifted,
)
from tubcare.water.equilibrium import alkalinity_by, carbon_by, ph_by
from tubcare.water.inverse import dose_by_secants

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tubcare.water.equilibria import Constants
    from tubcare.water.plan_model import ShelfItem, Targets, Window
    from tubcare.water.reading import Totals

# Airing takes carbon dioxide out and nothing else.
AIRING: Final = Effect(molar_mass=44.009, carbon=-1.0)
_SLACK_PH = 0.005
_SLACK_MG_L = 0.05
_LEAST_MMOL_L = 1e-6
_REFINE = 4
_ROUND_MG_L = 15.0
# No plan ends outside, whatever else it would mend. Own choice.
_TOLERABLE_PH = (6.5, 8.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """So much of one thing; `item` None is airing. [mmol/L]."""

    item: ShelfItem | None
    effect: Effect
    mmol_l: float


def rounds_of(additions: Sequence[Addition]) -> int:
    """Return into how many rounds of acid and its counterpart a set falls, so the pH stays near.

    Acid against airing or a strong base would swing the pH; one round takes at most 15 mg/L of
    alkalinity (own choice). Bicarbonate goes in whole before acid and swings nothing.
    """
    counterpart = any(
        addition.item is None or addition.item.product.compound in STRONG_BASES
        for addition in additions
    )
    lowered = -sum(
        min(0.0, addition.effect.alkalinity) * addition.mmol_l
        for addition in additions
        if addition.item is not None and addition.item.product.compound in ACIDS
    )
    if not counterpart or lowered <= 0.0:
        return 1
    return max(1, math.ceil(lowered * masses.ALKALINITY_EQUIVALENT / _ROUND_MG_L))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A set of additions and where it ends."""

    additions: tuple[Addition, ...]
    totals: Totals
    ph: float
    violation: float
    distance: float

    @property
    def rank(self) -> tuple[bool, float, int, float]:
        """Order of preference: inside the ranges, then few additions, then near the aims."""
        outside = self.violation > 0.0
        return outside, round(self.violation, 4), self.rounds, self.distance

    @property
    def rounds(self) -> int:
        """How many times something is done: acid with its counterpart goes in rounds of both."""
        return len(self.additions) + 2 * (rounds_of(self.additions) - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrector:
    """Finds what brings pH and alkalinity into their ranges."""

    targets: Targets
    constants: Constants[float]
    movers: tuple[tuple[ShelfItem | None, Effect], ...]
    highest_aired_ph: float

    def best(self, totals: Totals, before: tuple[Addition, ...]) -> Found:
        """Return the best set found, `before` already being in `totals`."""
        nothing = self._found(totals, before, ())
        if nothing.violation == 0.0:
            return nothing
        singles = [found for found in self._singles(totals, before) if found is not None]
        best = min([nothing, *singles], key=lambda found: found.rank)
        if best.violation == 0.0:
            return best
        pairs = list(self._pairs(totals, before))
        return min([best, *pairs], key=lambda found: found.rank)

    def _singles(self, totals: Totals, before: tuple[Addition, ...]) -> Iterator[Found | None]:
        """Try each mover alone."""
        for item, effect in self.movers:
            dose = self._single_dose(totals, effect)
            if dose is not None and dose > _LEAST_MMOL_L:
                yield self._found(totals, before, ((item, effect, dose),))

    def _single_dose(self, totals: Totals, effect: Effect) -> float | None:
        """Return the dose that hits the aimed pH, bent to what alkalinity allows."""
        low, high = self._alkalinity_span(totals, effect)
        if high <= 0.0 or low > high:
            return None
        window = self.targets.ph
        aims = (window.aim, window.low, window.high)
        doses = [self._dose_to(totals, effect, ph) for ph in aims]
        first = doses[0]
        if first is not None and low <= first <= high:
            return first
        reachable = [dose for dose in doses if dose is not None and dose > 0.0]
        if not reachable:
            return low if low > 0.0 else None
        nearest = first if first is not None else min(reachable)
        return min(max(nearest, low), high)

    def _alkalinity_span(self, totals: Totals, effect: Effect) -> tuple[float, float]:
        """Return the least and most [mmol/L] after which alkalinity is inside its range."""
        window = self.targets.alkalinity
        low, high = (end / masses.ALKALINITY_EQUIVALENT for end in (window.low, window.high))
        if effect.alkalinity == 0.0:
            inside = low <= totals.alkalinity <= high
            return (0.0, totals.carbon) if inside else (0.0, 0.0)
        ends = sorted(((low - totals.alkalinity), (high - totals.alkalinity)))
        doses = sorted(end / effect.alkalinity for end in ends)
        return max(0.0, doses[0]), doses[1]

    def _dose_to(self, totals: Totals, effect: Effect, ph: float) -> float | None:
        """Return the dose [mmol/L] that ends at `ph`, None where it never does."""

        def surplus(dose: float) -> float:
            after = shifted(totals, effect, dose)
            return after.alkalinity - alkalinity_by(self.constants, after, ph)

        return dose_by_secants(surplus, totals.carbon, HIGHEST_DOSE_MG_L / effect.molar_mass)

    def _pairs(self, totals: Totals, before: tuple[Addition, ...]) -> Iterator[Found]:
        """Try each two movers that can meet an aimed pH and alkalinity."""
        window = self.targets.alkalinity
        for (item1, effect1), (item2, effect2) in combinations(self.movers, 2):
            for alkalinity in (window.aim, window.low, window.high):
                doses = self._pair_doses(totals, effect1, effect2, alkalinity)
                if doses is not None:
                    yield self._found(
                        totals, before, ((item1, effect1, doses[0]), (item2, effect2, doses[1]))
                    )
                    # Rounds of acid and airing: the far end of the range may spare some.
                    if item1 is not None and item2 is not None:
                        break

    def _pair_doses(
        self, totals: Totals, first: Effect, second: Effect, alkalinity_mg_l: float
    ) -> tuple[float, float] | None:
        """Solve the two linear equations, a few times over as the salts shift the activities."""
        wanted = alkalinity_mg_l / masses.ALKALINITY_EQUIVALENT
        determinant = first.alkalinity * second.carbon - second.alkalinity * first.carbon
        if abs(determinant) < 1e-12:
            return None
        x = y = 0.0
        for _ in range(_REFINE):
            ahead = shifted(shifted(totals, first, x), second, y)
            try:
                carbon = carbon_by(
                    self.constants, replace(ahead, alkalinity=wanted), self.targets.ph.aim
                )
            except InputError:
                return None
            rise = wanted - totals.alkalinity
            gain = carbon - totals.carbon
            x = (rise * second.carbon - gain * second.alkalinity) / determinant
            y = (first.alkalinity * gain - first.carbon * rise) / determinant
            if x <= _LEAST_MMOL_L or y <= _LEAST_MMOL_L:
                return None
        return x, y

    def _ph(self, totals: Totals) -> float:
        """Return the pH, of a water that none fits the end it lies beyond: no plan ends there."""
        try:
            return ph_by(self.constants, totals)
        except OutOfRangeError as error:
            if error.name != "ph":
                raise
            return error.value

    def _found(
        self,
        totals: Totals,
        before: tuple[Addition, ...],
        doses: Sequence[tuple[ShelfItem | None, Effect, float]],
    ) -> Found:
        """Work out where a set ends and how far from the ranges and aims."""
        after = totals
        for _, effect, mmol_l in doses:
            after = shifted(after, effect, mmol_l)
        ph = self._ph(after)
        ph_window, alkalinity = self.targets.ph, self.targets.alkalinity
        violation = _outside(ph_window, ph, _SLACK_PH) / 0.1
        violation += _outside(alkalinity, after.alkalinity_mg_l, _SLACK_MG_L) / 10.0
        aired = any(item is None for item, _, _ in doses)
        if aired and ph > self.highest_aired_ph:
            # Airing ends at rest with the air: no further.
            violation += 1.0 + (ph - self.highest_aired_ph) / 0.1
        if not _TOLERABLE_PH[0] <= ph <= _TOLERABLE_PH[1] and doses:
            # Better a range missed than water that attacks skin and tub.
            violation += 100.0
        return Found(
            additions=(*before, *(Addition(item=i, effect=e, mmol_l=d) for i, e, d in doses)),
            totals=after,
            ph=ph,
            violation=violation,
            distance=_distance(ph_window, ph) + _distance(alkalinity, after.alkalinity_mg_l),
        )


def _outside(window: Window, value: float, slack: float) -> float:
    """Return how far a value lies outside its window."""
    return max(0.0, window.low - slack - value, value - window.high - slack)


def _distance(window: Window, value: float) -> float:
    """Return the squared distance from the aim, in half-widths of the window."""
    half = max(1e-6, 0.5 * (window.high - window.low))
    return ((value - window.aim) / half) ** 2
