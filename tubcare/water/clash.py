"""Chlorine and peroxide in one water: they destroy each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.water import masses
from tubcare.water.balance import totals_of
from tubcare.water.compounds import peroxide_against_chlorine

if TYPE_CHECKING:
    from tubcare.water.reading import WaterTest


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """What is left of chlorine and of peroxide when they have met. [mg/L]."""

    chlorine_mg_l: float
    peroxide_mg_l: float


def clash_in(test: WaterTest) -> Clash | None:
    """Return what is left once both have met, None where only one of them is in the water.

    References
    ----------
    HOCl + H2O2 -> H+ + Cl- + O2 + H2O: see `peroxide_against_chlorine`.
    """
    if test.free_chlorine_mg_l <= 0.0 or test.peroxide_mg_l <= 0.0:
        return None
    left = peroxide_against_chlorine(totals_of(test))
    return Clash(
        chlorine_mg_l=max(0.0, left.free_chlorine_mg_l),
        peroxide_mg_l=max(0.0, left.peroxide * masses.HYDROGEN_PEROXIDE),
    )
