"""Combined chlorine, what it calls for, and what bathers bring."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from tubcare.water.limits import check

# Stoichiometry of NH2Cl to N2: 3 Cl2 per 2 N, of which 2 are in the chloramine already.
_LEAST_PER_COMBINED = 0.5
# The pool rule "ten times combined": the same breakpoint with a margin (common practice).
_PRACTICE_PER_COMBINED = 10.0
# A change that only just reaches the limit is over it again with the next bather. Own choice.
_DOWN_TO = 0.9
# Two DPD readings on one tube: their difference is no better than this (common practice).
READING_NOISE_MG_L: Final = 0.1
# WHO 2006, Guidelines for safe recreational water environments vol. 2, 5.4; DIN 19643-1.
FRESH_WATER_L_PER_BATHER: Final = 30.0


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
    with what free chlorine is there already; `fresh_share` is the part of the water [-] that takes
    it well below its limit, without any chlorine.
    """

    combined_mg_l: float
    call: CombinedCall
    least_dose_mg_l: float
    practice_dose_mg_l: float
    fresh_share: float = 0.0


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
        Of the tub's ranges. [mg/L], 0..1000
    highest_free_mg_l
        What the liner and fittings stand for a short time. [mg/L], 0..1000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    CC = TC - FC, Standard Methods 4500-Cl G. Weiner, Applications of Environmental Aquatic
    Chemistry, ch. 4: 7.6 mg Cl2 per mg N, slower below 30 °C.
    """
    check("free_mg_l", free_mg_l, 0.0, 100.0)
    check("total_mg_l", total_mg_l, 0.0, 100.0)
    check("limit_mg_l", limit_mg_l, 0.0, 1000.0)
    check("highest_free_mg_l", highest_free_mg_l, 0.0, 1000.0)
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
        fresh_share=1.0 - _DOWN_TO * limit_mg_l / combined if combined > limit_mg_l else 0.0,
    )
