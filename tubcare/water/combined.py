"""Combined chlorine, what it calls for, and what bathers bring."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from tubcare.errors import OutOfRangeError
from tubcare.water.limits import check

# Stoichiometry of NH2Cl to N2: 3 Cl2 per 2 N, of which 2 are in the chloramine already.
_LEAST_PER_COMBINED = 0.5
# The pool rule "ten times combined": the same breakpoint with a margin (common practice).
_PRACTICE_PER_COMBINED = 10.0
# Two DPD readings on one tube: their difference is no better than this (common practice).
READING_NOISE_MG_L: Final = 0.1
# J. Water Health 17:227 (2019), fitted in a swimming pool: an upper bound for a short cold dip.
HIGHEST_DEMAND_G_PER_BATHER: Final = 4.12
# WHO 2006, Guidelines for safe recreational water environments vol. 2, 5.4; DIN 19643-1.
FRESH_WATER_L_PER_BATHER: Final = 30.0
_L_PER_GALLON = 3.785411784


class CombinedCall(StrEnum):
    """What a combined-chlorine reading calls for."""

    NOTHING = "nothing"
    RETEST = "retest"
    FRESH_WATER = "fresh_water"
    BREAKPOINT = "breakpoint"


@dataclass(frozen=True, slots=True, kw_only=True)
class Combined:
    """Combined chlorine and the way to end it. All in mg/L as Cl2.

    `least_dose_mg_l` is stoichiometry, `practice_dose_mg_l` the customary margin over it, counted
    with what free chlorine is there already.
    """

    combined_mg_l: float
    call: CombinedCall
    least_dose_mg_l: float
    practice_dose_mg_l: float


def combined_chlorine(
    *, free_mg_l: float, total_mg_l: float, limit_mg_l: float, highest_free_mg_l: float
) -> Combined:
    """Return combined chlorine (total - free) and what it calls for.

    A total below the free reading by more than the noise of the test is a mistake: test again.
    Breakpoint chlorination is slow in cold water, so fresh water is called for where the dose
    would exceed `highest_free_mg_l`.

    Parameters
    ----------
    free_mg_l, total_mg_l
        DPD 1 and DPD 1+3. [mg/L], 0..100
    limit_mg_l
        Of the tub's ranges. [mg/L], > 0
    highest_free_mg_l
        What the liner and fittings stand for a short time. [mg/L]

    References
    ----------
    CC = TC - FC, Standard Methods 4500-Cl G. Weiner, Applications of Environmental Aquatic
    Chemistry, ch. 4: 7.6 mg Cl2 per mg N, slower below 30 °C.
    """
    for name, value in (("free_mg_l", free_mg_l), ("total_mg_l", total_mg_l)):
        if not 0.0 <= value <= 100.0:
            raise OutOfRangeError(name, value, 0.0, 100.0)
    difference = total_mg_l - free_mg_l
    if difference < -READING_NOISE_MG_L:
        return Combined(
            combined_mg_l=difference,
            call=CombinedCall.RETEST,
            least_dose_mg_l=0.0,
            practice_dose_mg_l=0.0,
        )
    combined = max(0.0, difference)
    practice = max(0.0, _PRACTICE_PER_COMBINED * combined - free_mg_l)
    call = CombinedCall.NOTHING
    if combined > limit_mg_l:
        reachable = free_mg_l + practice <= highest_free_mg_l
        call = CombinedCall.BREAKPOINT if reachable else CombinedCall.FRESH_WATER
    return Combined(
        combined_mg_l=combined,
        call=call,
        least_dose_mg_l=_LEAST_PER_COMBINED * combined,
        practice_dose_mg_l=practice,
    )


def bather_demand_mg_l(
    *,
    dips: float,
    volume_l: float,
    demand_g_per_bather: float = HIGHEST_DEMAND_G_PER_BATHER,
) -> float:
    """Return the chlorine [mg/L as Cl2] that bathers use up at most.

    Parameters
    ----------
    dips
        Stays in the water, 0..1000.
    volume_l
        [L], 50..100000
    demand_g_per_bather
        A pool's figure by default: an upper bound for a dip of minutes. [g], 0..10

    References
    ----------
    J. Water Health 17:227 (2019): 4.12 g per bather.
    """
    check("dips", dips, 0.0, 1000.0)
    check("volume_l", volume_l, 50.0, 100_000.0)
    check("demand_g_per_bather", demand_g_per_bather, 0.0, 10.0)
    return dips * demand_g_per_bather / volume_l * 1e3


def days_between_changes(*, volume_l: float, bathers_per_day: float) -> float:
    """Return the days between full changes by the rule for public spas, 7 at the least use.

    References
    ----------
    Administrative Rules of Montana 37.115 (spa rule): volume [gal] / 3 / bathers per day.
    """
    check("volume_l", volume_l, 50.0, 100_000.0)
    check("bathers_per_day", bathers_per_day, 0.001, 1000.0)
    return volume_l / _L_PER_GALLON / 3.0 / bathers_per_day
