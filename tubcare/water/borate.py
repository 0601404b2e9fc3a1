"""What borate does in a water: its share of the alkalinity, and how far it steadies the pH."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from tubcare.water import masses
from tubcare.water.equilibrium import solve_ph

if TYPE_CHECKING:
    from tubcare.water.balance import Balance

# A dose of acid small against any alkalinity that can be titrated [meq/L].
_NUDGE: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class BorateShare:
    """The part of borate.

    `alkalinity_mg_l` of the total is carried by it [mg/L as CaCO3]; `steadies` is how much less
    the pH moves for the same small dose than without it. [-], 0..1
    """

    alkalinity_mg_l: float
    steadies: float


def borate_share(state: Balance) -> BorateShare | None:
    """Return the part of borate in a water, None where there is none.

    References
    ----------
    B(OH)3 = B(OH)4- by `tubcare.water.equilibria`; the same nudge of acid is given to the water
    with its borate and to the same carbonate water without it.
    """
    totals = state.totals
    if totals.boron <= 0.0:
        return None
    bare = replace(totals, boron=0.0, alkalinity=totals.alkalinity - state.species.borate)
    with_it, without = (
        state.ph - solve_ph(each.moved(alkalinity=-_NUDGE), water_c=state.water_c)
        for each in (totals, bare)
    )
    return BorateShare(
        alkalinity_mg_l=state.species.borate * masses.ALKALINITY_EQUIVALENT,
        steadies=max(0.0, 1.0 - with_it / without),
    )
