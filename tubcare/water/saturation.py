"""How much calcium carbonate a water lets fall or dissolves until its saturation index is 0."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.water.balance import balance_of
from tubcare.water.equilibrium import solve_ph
from tubcare.water.masses import CALCIUM_CARBONATE

if TYPE_CHECKING:
    from tubcare.water.reading import Totals


def precipitation_potential(totals: Totals, *, water_c: float) -> float:
    """Return the calcium carbonate that falls (+) or dissolves (-) until the index is 0.

    Closed water, CaCO3. [mg/L]

    Parameters
    ----------
    totals
        What the water holds. [mmol/L]
    water_c
        [°C], 0..35

    References
    ----------
    Standard Methods 2330 C, solved on the full balance.
    """

    def index(moved: float) -> float:
        shifted = replace(
            totals,
            alkalinity=totals.alkalinity - 2.0 * moved,
            carbon=totals.carbon - moved,
            calcium=totals.calcium - moved,
        )
        ph = solve_ph(shifted, water_c=water_c)
        return balance_of(shifted, water_c=water_c, ph=ph).saturation_index

    high = min(totals.calcium, totals.carbon) * (1.0 - 1e-9)
    low = -10.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if index(middle) > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high) * CALCIUM_CARBONATE
