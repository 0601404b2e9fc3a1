"""How much of one compound brings the water to a pH: the inverse of a dose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import OutOfRangeError
from tubcare.water.compounds import EFFECTS, HIGHEST_DOSE_MG_L, shifted
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import alkalinity_by

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.water.compounds import Compound
    from tubcare.water.reading import Totals

_STEPS = 60
_PRECISION_MMOL_L = 1e-12
# An acid falls short of, and a base beyond, any pH outside this.
_TARGET_LOW, _TARGET_HIGH = 5.0, 10.0


def dose_to_ph(
    totals: Totals, compound: Compound, *, water_c: float, target_ph: float
) -> float | None:
    """Return the dose [mg/L pure] after which the closed water stands at `target_ph`.

    None when the compound moves the pH the other way, or cannot reach it at all.

    Parameters
    ----------
    totals
        Before the dose. [mmol/L]
    water_c
        [°C], 0..35
    target_ph
        [-], 5..10

    References
    ----------
    Own derivation: at a fixed pH the alkalinity that carbon and sanitiser carry is nearly linear
    in the dose, so a secant rule needs three or four steps.
    Forward: `compounds.dosed`, `solve_ph`.
    """
    if not _TARGET_LOW <= target_ph <= _TARGET_HIGH:
        raise OutOfRangeError("target_ph", target_ph, _TARGET_LOW, _TARGET_HIGH)
    effect = EFFECTS[compound]
    constants = constants_at(water_c)

    def surplus(mmol_l: float) -> float:
        after = shifted(totals, effect, mmol_l)
        return after.alkalinity - alkalinity_by(constants, after, target_ph)

    try:
        moles = _root(surplus, totals.carbon)
    except OutOfRangeError:
        # On the way it would take a brine: beyond the reach of this compound.
        return None
    if moles is None or moles < -_PRECISION_MMOL_L:
        return None
    dose = max(0.0, moles) * effect.molar_mass
    return dose if dose <= HIGHEST_DOSE_MG_L else None


def _root(surplus: Callable[[float], float], carbon: float) -> float | None:
    """Return the root by secants, or None if they do not settle."""
    before, value_before = 0.0, surplus(0.0)
    moles = 0.02 * max(carbon, 0.05)
    for _ in range(_STEPS):
        value = surplus(moles)
        rise = value - value_before
        if rise == 0.0:
            return moles if value == 0.0 else None
        following = moles - value * (moles - before) / rise
        if abs(following - moles) <= _PRECISION_MMOL_L:
            return following
        before, value_before, moles = moles, value, following
    return None
