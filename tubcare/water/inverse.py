"""How much of one compound brings the water to a pH: the inverse of a dose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import OutOfRangeError
from tubcare.water.compounds import EFFECTS, HIGHEST_DOSE_MG_L, shifted
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import alkalinity_by
from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.water.compounds import Compound
    from tubcare.water.reading import Totals

_SECANTS = 25
_PRECISION_MMOL_L = 1e-12
_FIRST_MMOL_L = 1e-3
_STRIDE = 1.5
_HALVINGS = 60
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

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Own derivation: at a fixed pH the alkalinity that carbon and sanitiser carry is nearly linear
    in the dose, so a secant rule needs three or four steps; where it is not, halving finds it.
    Forward: `compounds.dosed`, `solve_ph`.
    """
    check("target_ph", target_ph, _TARGET_LOW, _TARGET_HIGH)
    effect = EFFECTS[compound]
    constants = constants_at(water_c)

    def surplus(mmol_l: float) -> float:
        after = shifted(totals, effect, mmol_l)
        return after.alkalinity - alkalinity_by(constants, after, target_ph)

    highest = HIGHEST_DOSE_MG_L / effect.molar_mass
    moles = dose_by_secants(surplus, totals.carbon, highest)
    if moles is None:
        moles = _dose_by_halving(surplus, highest)
    return None if moles is None else moles * effect.molar_mass


def dose_by_secants(
    surplus: Callable[[float], float], carbon: float, highest: float
) -> float | None:
    """Return the dose [mmol/L], 0..`highest`, at which a nearly linear `surplus` ends.

    Three or four looks at it. None where the first two show it going the other way, or where it
    does not settle: a curved one may still end. Doses below zero are never looked at: no water
    holds less than nothing.

    Parameters
    ----------
    carbon
        Inorganic carbon of the water, which says how large a first look is. [mmol/L]
    """
    before, value_before = 0.0, surplus(0.0)
    moles = min(0.02 * max(carbon, 0.05), highest)
    try:
        for step in range(_SECANTS):
            value = surplus(moles)
            rise = value - value_before
            if rise == 0.0:
                break
            following = moles - value * (moles - before) / rise
            if abs(following - moles) <= _PRECISION_MMOL_L:
                return max(0.0, following)
            if following < 0.0:
                if step == 0:
                    break
                following = 0.5 * moles
            before, value_before, moles = moles, value, min(following, highest)
    except OutOfRangeError:
        # On the way it would take a brine.
        return None
    return None


def _dose_by_halving(surplus: Callable[[float], float], highest: float) -> float | None:
    """Return the least dose [mmol/L] at which `surplus` changes its sign, or None."""
    low, value_low, high = 0.0, surplus(0.0), _FIRST_MMOL_L
    while True:
        high = min(high, highest)
        try:
            value = surplus(high)
        except OutOfRangeError:
            return None
        if value * value_low <= 0.0:
            break
        if high == highest:
            return None
        low, high = high, _STRIDE * high
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if surplus(middle) * value_low > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
