"""Into which portions a dose falls, and how long airing takes: what one go may move the water."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Final

from tubcare.errors import OutOfRangeError
from tubcare.water.balance import balance_of
from tubcare.water.compounds import Effect, shifted
from tubcare.water.drift import OPEN_WATER, days_between
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import ph_by

if TYPE_CHECKING:
    from tubcare.water.drift import Exchange
    from tubcare.water.reading import Totals

# No portion moves the water further than this: pH [-] and mg/L. Common practice, no source.
LARGEST_PH: Final = 0.5
LARGEST_ALKALINITY: Final = 40.0
LARGEST_CALCIUM: Final = 60.0
LARGEST_CHLORINE: Final = 5.0
LARGEST_BROMINE: Final = 10.0
LARGEST_PEROXIDE: Final = 50.0
MOST_PORTIONS: Final = 12
_SLICES = 16
_DAY_MIN = 24 * 60
# After so many days with the lid open it is time to test, however far it came. Own choice.
_LONGEST_AIRING_D = 3
_HALVINGS = 12


def shares_of(totals: Totals, effect: Effect, mmol_l: float, *, water_c: float) -> list[float]:
    """Return the shares of a dose that go in one after the other; they sum to one.

    The fewest portions of which none moves the water further than common practice allows, cut
    where each moves it about as far: the pH falls fast at first and slowly later, or the other
    way round, so equal amounts would not do.

    Parameters
    ----------
    mmol_l
        The whole dose. [mmol/L], any
    water_c
        [°C], 0..35; raises what `constants_at` does
    """
    constants = constants_at(water_c)

    def ph(share: float) -> float:
        return ph_by(constants, shifted(totals, effect, share * mmol_l))

    try:
        start, end = ph(0.0), ph(1.0)
    except OutOfRangeError:
        return [1.0]
    flat = _flat_effort(totals, effect, mmol_l)
    if max(abs(end - start) / LARGEST_PH, flat) <= 1.0 + 1e-9:
        return [1.0]
    steps = [start, *(ph(k / _SLICES) for k in range(1, _SLICES)), end]
    efforts = [max(abs(b - a) / LARGEST_PH, flat / _SLICES) for a, b in itertools.pairwise(steps)]
    return _cut(efforts)


def aired(
    totals: Totals, effect: Effect, mmol_l: float, exchange: Exchange, *, water_c: float
) -> tuple[Totals, int]:
    """Return the totals after running with the lid open, and how long it takes [min].

    In whole days, by the fast end of the exchange: it is the time to test again, not a promise.
    Where it would take more than three days, as far as it comes in those.

    Parameters
    ----------
    mmol_l
        Of the effect that is wanted of the air. [mmol/L], any
    water_c
        [°C], 0..35; raises what `balance_of` does
    """
    before = balance_of(totals, water_c=water_c)

    def days(share: float) -> float:
        after = balance_of(shifted(totals, effect, share * mmol_l), water_c=water_c)
        rate = max(exchange.high_per_day, OPEN_WATER.high_per_day)
        found = days_between(10.0**before.log_pco2, 10.0**after.log_pco2, rate)
        return math.inf if found is None else found

    low, high = 0.0, 1.0
    if days(high) > _LONGEST_AIRING_D:
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if days(middle) <= _LONGEST_AIRING_D else (low, middle)
        high = low
    whole = max(1, math.ceil(days(high) - 1e-9))
    return shifted(totals, effect, high * mmol_l), _DAY_MIN * whole


def _flat_effort(totals: Totals, effect: Effect, mmol_l: float) -> float:
    """Return how many portions a dose asks for by what rises in proportion to it."""
    after = shifted(totals, effect, mmol_l)
    return max(
        abs(after.alkalinity_mg_l - totals.alkalinity_mg_l) / LARGEST_ALKALINITY,
        (after.calcium_mg_l - totals.calcium_mg_l) / LARGEST_CALCIUM,
        (after.free_chlorine_mg_l - totals.free_chlorine_mg_l) / LARGEST_CHLORINE,
        (after.bromine_mg_l - totals.bromine_mg_l) / LARGEST_BROMINE,
        (after.peroxide_mg_l - totals.peroxide_mg_l) / LARGEST_PEROXIDE,
    )


def _cut(efforts: list[float]) -> list[float]:
    """Return the shares that part the summed efforts evenly, each at most one."""
    sums = [0.0, *itertools.accumulate(efforts)]
    parts = min(MOST_PORTIONS, max(1, math.ceil(sums[-1] - 1e-9)))
    cuts = [0.0]
    for part in range(1, parts):
        wanted = sums[-1] * part / parts
        place = next(k for k, total in enumerate(sums) if total >= wanted)
        inside = (wanted - sums[place - 1]) / (sums[place] - sums[place - 1])
        cuts.append((place - 1 + inside) / len(efforts))
    cuts.append(1.0)
    return [b - a for a, b in itertools.pairwise(cuts)]
