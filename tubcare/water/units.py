"""Units of test kits, converted at the edge; inside everything is mg/L and °C."""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping


class Dimension(StrEnum):
    """What a kit measures and therefore how a mole of it converts."""

    ALKALINITY = "alkalinity"
    HARDNESS = "hardness"
    CONCENTRATION = "concentration"
    TEMPERATURE = "temperature"


class Unit(StrEnum):
    """Unit of a reading."""

    MG_L = "mg/L"
    PPM = "ppm"
    GERMAN_DEGREE = "°dH"
    FRENCH_DEGREE = "°fH"
    ENGLISH_DEGREE = "°e"
    GRAINS_PER_GALLON = "gpg"
    MMOL_L = "mmol/L"
    CELSIUS = "°C"
    FAHRENHEIT = "°F"


# mg/L as CaCO3 in one of each. German degree: 10 mg/L CaO (DIN 38409-6); French: 10 mg/L CaCO3;
# English: 1 grain per imperial gallon; gpg: 1 grain per US gallon (64.79891 mg in 3.785411784 L).
_AS_CACO3: Final[Mapping[Unit, float]] = MappingProxyType(
    {
        Unit.MG_L: 1.0,
        Unit.PPM: 1.0,
        Unit.GERMAN_DEGREE: 10.0 * 100.086 / 56.077,
        Unit.FRENCH_DEGREE: 10.0,
        Unit.ENGLISH_DEGREE: 64.79891 / 4.54609,
        Unit.GRAINS_PER_GALLON: 64.79891 / 3.785411784,
    }
)
# Acid capacity K_S4.3 counts equivalents; hardness counts moles of calcium.
_PER_MMOL: Final[Mapping[Dimension, float]] = MappingProxyType(
    {Dimension.ALKALINITY: 50.043, Dimension.HARDNESS: 100.086}
)


def to_inside(value: float, unit: Unit, dimension: Dimension) -> float:
    """Return a reading in mg/L (as CaCO3 where it is hardness or alkalinity) or °C.

    Parameters
    ----------
    value
        In `unit`, any

    Raises
    ------
    InputError
        If the unit does not measure that dimension.
    """
    if dimension is Dimension.TEMPERATURE:
        if unit is Unit.FAHRENHEIT:
            return (value - 32.0) / 1.8
        if unit is Unit.CELSIUS:
            return value
    return value * _factor(unit, dimension)


def from_inside(value: float, unit: Unit, dimension: Dimension) -> float:
    """Return a value held in mg/L or °C in the unit of the kit; the inverse of `to_inside`.

    Parameters
    ----------
    value
        [mg/L] or [°C], any; raises what `to_inside` does
    """
    if dimension is Dimension.TEMPERATURE:
        if unit is Unit.FAHRENHEIT:
            return value * 1.8 + 32.0
        if unit is Unit.CELSIUS:
            return value
    return value / _factor(unit, dimension)


def units_of(dimension: Dimension) -> tuple[Unit, ...]:
    """Return the units in which a dimension may be read."""
    return tuple(unit for unit in Unit if _fits(unit, dimension))


def _fits(unit: Unit, dimension: Dimension) -> bool:
    """Return whether the unit measures the dimension."""
    if dimension is Dimension.TEMPERATURE:
        return unit in {Unit.CELSIUS, Unit.FAHRENHEIT}
    if dimension is Dimension.CONCENTRATION:
        return unit in {Unit.MG_L, Unit.PPM}
    return unit in _AS_CACO3 or unit is Unit.MMOL_L


def _factor(unit: Unit, dimension: Dimension) -> float:
    """Return the mg/L in one unit."""
    if not _fits(unit, dimension) or dimension is Dimension.TEMPERATURE:
        raise InputError("unit", f"{unit.value} does not measure {dimension.value}")
    return _PER_MMOL[dimension] if unit is Unit.MMOL_L else _AS_CACO3[unit]
