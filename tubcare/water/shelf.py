"""How products lose strength on the shelf."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.water.compounds import ISOCYANURATES, Compound
from tubcare.water.equilibria import ZERO_C_K
from tubcare.water.limits import check
from tubcare.water.masses import CHLORINE

if TYPE_CHECKING:
    from datetime import date

    from tubcare.water.products import Product

_R = 8.314462618
# Adam & Gordon 1999 measured 15-55 °C and 0.7-3 M.
_FITTED_C = (15.0, 55.0)
_FITTED_MOLAR = (0.7, 3.0)
_ALLOWED_C = (-10.0, 45.0)
_TRADE_PERCENT = (0.5, 20.0)
_LONGEST_D = 3650.0
# Free caustic and chlorate of a commercial bleach beside its salt. Own choice.
_SIDE_SALTS_M = 0.1
_DAY_S = 86_400.0
# Loss per year, cool and dry (common practice, no source): share low, share high.
_DRY_CALCIUM = (0.03, 0.05)
_DRY_ISOCYANURATE = (0.0, 0.01)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfStrength:
    """What is left of a product.

    `share` of the label strength with its range [-]; `extrapolated` where the published fit does
    not reach (below 15 °C or weak solutions).
    """

    share: float
    share_low: float
    share_high: float
    extrapolated: bool


def bleach_strength(*, trade_percent: float, days: float, storage_c: float) -> ShelfStrength:
    """Return what is left of a sodium hypochlorite solution.

    Parameters
    ----------
    trade_percent
        Available chlorine on the label. [g per 100 mL], 0.5..20
    days
        Since it was filled. [d], 0..3650
    storage_c
        Where it stood. [°C], -10..45

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    Notes
    -----
    -d[OCl-]/dt = k2 [OCl-]². Light and traces of metal make it faster, so the low end doubles k2
    (own choice).

    References
    ----------
    Adam & Gordon 1999, Inorg. Chem. 38:1299: log k2 = 0.149 µ + log(2.083e10 T exp(-1.018e5/RT)
    exp(-56.5/R)), 15-55 °C, 0.7-3 M.
    """
    check("trade_percent", trade_percent, *_TRADE_PERCENT)
    check("days", days, 0.0, _LONGEST_D)
    check("storage_c", storage_c, *_ALLOWED_C)
    molar = trade_percent * 10.0 / CHLORINE
    t_k = storage_c + ZERO_C_K
    strength = 2.0 * molar + _SIDE_SALTS_M
    k2 = (
        10.0 ** (0.149 * strength)
        * 2.083e10
        * t_k
        * math.exp(-1.018e5 / (_R * t_k))
        * math.exp(-56.5 / _R)
    )
    reach = k2 * molar * days * _DAY_S
    return ShelfStrength(
        share=1.0 / (1.0 + reach),
        share_low=1.0 / (1.0 + 2.0 * reach),
        share_high=1.0 / (1.0 + 0.8 * reach),
        extrapolated=not (
            _FITTED_C[0] <= storage_c <= _FITTED_C[1]
            and _FITTED_MOLAR[0] <= molar <= _FITTED_MOLAR[1]
        ),
    )


def dry_strength(compound: Compound, *, days: float) -> ShelfStrength:
    """Return what is left of a dry chlorine kept cool and dry (common practice, no source).

    Parameters
    ----------
    days
        Since it was packed. [d], 0..3650

    Raises
    ------
    OutOfRangeError
        If the age lies outside its range.
    """
    check("days", days, 0.0, _LONGEST_D)
    if compound is Compound.CALCIUM_HYPOCHLORITE:
        low, high = _DRY_CALCIUM
    elif compound in ISOCYANURATES:
        low, high = _DRY_ISOCYANURATE
    else:
        low = high = 0.0
    years = days / 365.25
    return ShelfStrength(
        share=(1.0 - 0.5 * (low + high)) ** years,
        share_low=(1.0 - high) ** years,
        share_high=(1.0 - low) ** years,
        extrapolated=False,
    )


def today_strength(
    product: Product, *, filled: date, today: date, storage_c: float
) -> tuple[Product, ShelfStrength]:
    """Return the product with the strength it has today, and how sure that is.

    A pack of over ten years is told as one of ten; a bleach outside 0.5..20 trade per cent loses
    the share of the nearest.

    Parameters
    ----------
    storage_c
        Where it stood, for a bleach. [°C], -10..45

    Raises
    ------
    InputError
        If the product was filled after today.
    OutOfRangeError
        If a bleach stood outside that range.
    """
    days = (today - filled).days
    if days < 0:
        raise InputError("filled", "lies after today")
    left = _left(product, days=float(days), storage_c=storage_c)
    return replace(product, strength=product.strength * left.share), left


def _left(product: Product, *, days: float, storage_c: float) -> ShelfStrength:
    """Return what is left by kind of product."""
    # After the longest span that is told nothing more is; a pack may well be older.
    days = min(days, _LONGEST_D)
    if product.compound is not Compound.SODIUM_HYPOCHLORITE:
        return dry_strength(product.compound, days=days)
    per_ml = product.pure_per_unit / product.effect.molar_mass * CHLORINE
    nearest = min(max(100.0 * per_ml, _TRADE_PERCENT[0]), _TRADE_PERCENT[1])
    left = bleach_strength(trade_percent=nearest, days=days, storage_c=storage_c)
    return replace(left, extrapolated=left.extrapolated or nearest != 100.0 * per_ml)
