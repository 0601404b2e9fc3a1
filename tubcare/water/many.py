"""The balance of many readings at once, on arrays.

The formulas are those of `equilibria`, `activity` and `speciation`; only the ends of the
iteration over cyanurate differ. numpy is loaded by this module alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.errors import OutOfRangeError
from tubcare.water import masses
from tubcare.water.equilibria import HIGHEST_C, LOWEST_C, ZERO_C_K, constants_from_kelvin
from tubcare.water.reading import FIELD_LIMITS
from tubcare.water.speciation import (
    bicarbonate_from_alkalinity,
    chlorine_from_hocl,
    frame_at,
    free_calcium,
    medium_at,
    total_carbon,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from tubcare.water.reading import WaterTest
    from tubcare.water.speciation import Frame

    Floats = NDArray[np.float64]

_STEPS = 60
_CONVERGED = 1e-14


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyTests:
    """Tests as columns, each float64 of shape (readings,); NaN where TDS or chloride is unknown.

    Units as in `WaterTest`.
    """

    water_c: Floats
    ph: Floats
    alkalinity_mg_l: Floats
    calcium_mg_l: Floats
    tds_mg_l: Floats
    chloride_mg_l: Floats
    free_chlorine_mg_l: Floats
    bromine_mg_l: Floats
    cyanuric_acid_mg_l: Floats
    boron_mg_l: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyBalances:
    """Results as columns of shape (readings,).

    Attributes
    ----------
    carbon_mmol_l
        Inorganic carbon; NaN where the alkalinity is less than the other values carry. [mmol/L]
    ionic_strength
        [mol/L]
    saturation_index, hocl_fraction
        [-]
    hocl_mg_l
        [mg/L as Cl2]
    """

    carbon_mmol_l: Floats
    ionic_strength: Floats
    saturation_index: Floats
    hocl_fraction: Floats
    hocl_mg_l: Floats


def columns_of(tests: Sequence[WaterTest]) -> ManyTests:
    """Return the tests as columns."""

    def column(name: str) -> Floats:
        return np.array([getattr(test, name) for test in tests], dtype=np.float64)

    return ManyTests(**{name: column(name) for name in ManyTests.__dataclass_fields__})


def balance_many(tests: ManyTests) -> ManyBalances:
    """Return the balance of every reading.

    Raises
    ------
    OutOfRangeError
        If any reading lies outside the range of `WaterTest`.

    References
    ----------
    As `tubcare.water.balance.balance`, to which it agrees within rounding.
    """
    _check(tests)
    t_k = tests.water_c + ZERO_C_K
    constants = constants_from_kelvin(t_k, np.log10(t_k))
    alkalinity = tests.alkalinity_mg_l * (1e-3 / masses.ALKALINITY_EQUIVALENT)
    calcium = tests.calcium_mg_l * (1e-3 / masses.CALCIUM_CARBONATE)
    sodium, chloride = _background_salts(tests, alkalinity, calcium)
    strength = 0.5 * (4.0 * calcium + alkalinity + sodium + chloride)
    medium = medium_at(constants, strength, sodium)
    frame = frame_at(medium, tests.ph)
    gamma = medium.activities
    hocl, others = _other_alkalinity(tests, frame)
    carbonate = alkalinity - others
    carbonate = np.where(carbonate < 0.0, np.nan, carbonate)
    x = bicarbonate_from_alkalinity(frame, carbonate, calcium)
    product = (
        free_calcium(frame, x, calcium) * x * frame.co3_ratio * gamma.calcium * gamma.carbonate
    )
    with np.errstate(divide="ignore"):
        index = np.log10(product) + constants.pks
    return ManyBalances(
        carbon_mmol_l=1e3 * total_carbon(frame, x, calcium),
        ionic_strength=strength,
        saturation_index=index,
        hocl_fraction=1.0 / (1.0 + frame.hypochlorite_ratio),
        hocl_mg_l=hocl * (1e3 * masses.CHLORINE),
    )


def _check(tests: ManyTests) -> None:
    """Raise OutOfRangeError for the first value that lies outside its field's range."""
    limits = {"water_c": (LOWEST_C, HIGHEST_C), **FIELD_LIMITS}
    for name in ManyTests.__dataclass_fields__:
        low, high = limits[name]
        values: Floats = getattr(tests, name)
        wrong = ~((values >= low) & (values <= high))
        if name in {"tds_mg_l", "chloride_mg_l"}:
            wrong &= ~np.isnan(values)
        if wrong.any():
            raise OutOfRangeError(name, float(values[wrong][0]), low, high)


def _background_salts(
    tests: ManyTests, alkalinity: Floats, calcium: Floats
) -> tuple[Floats, Floats]:
    """Return sodium and chloride [mol/L] as `reading.background_salts` does."""
    gap = alkalinity - 2.0 * calcium
    sodium = np.maximum(gap, 0.0)
    chloride = np.maximum(-gap, 0.0)
    implied = 1e3 * (
        calcium * masses.CA
        + alkalinity * masses.BICARBONATE
        + sodium * masses.NA
        + chloride * masses.CL
    )
    known = np.where(np.isnan(tests.tds_mg_l), implied, tests.tds_mg_l)
    salt = np.maximum(known - implied, 0.0) * (1e-3 / masses.SODIUM_CHLORIDE)
    measured = tests.chloride_mg_l * (1e-3 / masses.CL)
    unknown = np.isnan(measured)
    return (
        np.where(unknown, sodium + salt, np.maximum(gap + measured, 0.0)),
        np.where(unknown, chloride + salt, measured),
    )


def _other_alkalinity(tests: ManyTests, frame: Frame[Floats]) -> tuple[Floats, Floats]:
    """Return HOCl and the alkalinity of water, sanitiser, cyanurate and borate [mol/L]."""
    chlorine = tests.free_chlorine_mg_l * (1e-3 / masses.CHLORINE)
    cyanurate = tests.cyanuric_acid_mg_l * (1e-3 / masses.CYANURIC_ACID)
    bromine = tests.bromine_mg_l * (1e-3 / masses.BROMINE)
    boron = tests.boron_mg_l * (1e-3 / masses.B)
    hocl = _unbound_hocl(frame, chlorine, cyanurate)
    species = chlorine_from_hocl(frame, hocl, cyanurate)
    bromine_ratio = frame.hypobromite_ratio
    return hocl, (
        frame.hydroxide
        - frame.hydrogen
        + species.alkalinity
        + bromine * bromine_ratio / (1.0 + bromine_ratio)
        + boron * frame.borate_ratio / (1.0 + frame.borate_ratio)
    )


def _unbound_hocl(frame: Frame[Floats], chlorine: Floats, cyanurate: Floats) -> Floats:
    """Solve the chlorine balance for HOCl where a reading has both chlorine and cyanurate."""
    hocl = chlorine / (1.0 + frame.hypochlorite_ratio)
    both = np.flatnonzero((chlorine > 0.0) & (cyanurate > 0.0))
    if not both.size:
        return hocl
    first = frame.first_chlorine[both]
    second = first * frame.second_chlorine[both]
    unbound = 1.0 + frame.hypochlorite_ratio[both]
    empty = 1.0 + frame.cyanuric_ratio[both]
    chlorine, cyanurate = chlorine[both], cyanurate[both]
    low, high = np.zeros_like(chlorine), chlorine / unbound
    u = chlorine / (unbound + cyanurate * first / empty)
    for _ in range(_STEPS):
        one, two = first * u, second * u * u
        whole = empty + one + two
        bound = (one + 2.0 * two) / whole
        excess = u * unbound + cyanurate * bound - chlorine
        high = np.where(excess > 0.0, u, high)
        low = np.where(excess > 0.0, low, u)
        spread = (one + 4.0 * two) / whole - bound * bound
        following = u - excess / (unbound + cyanurate * spread / u)
        outside = (following < low) | (following > high)
        following = np.where(outside, 0.5 * (low + high), following)
        settled = np.abs(following - u) <= _CONVERGED * u
        u = following
        if settled.all():
            break
    hocl[both] = u
    return hocl
