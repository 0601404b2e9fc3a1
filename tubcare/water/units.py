"""Units of test kits, converted at the edge; inside everything is mg/L and °C."""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping


class Quantity(StrEnum):
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
_PER_MMOL: Final[Mapping[Quantity, float]] = MappingProxyType(
    {Quantity.ALKALINITY: 50.043, Quantity.HARDNESS: 100.086}
)


def to_inside(value: float, unit: Unit, quantity: Quantity) -> float:
    """Return a reading in mg/L (as CaCO3 where it is hardness or alkalinity) or °C.

    Raises
    ------
    InputError
        If the unit does not measure that quantity.
    """
    if quantity is Quantity.TEMPERATURE:
        if unit is Unit.FAHRENHEIT:
            return (value - 32.0) / 1.8
        if unit is Unit.CELSIUS:
            return value
    return value * _factor(unit, quantity)


def from_inside(value: float, unit: Unit, quantity: Quantity) -> float:
    """Return a value held in mg/L or °C in the unit of the kit; inverse of `to_inside`."""
    if quantity is Quantity.TEMPERATURE:
        if unit is Unit.FAHRENHEIT:
            return value * 1.8 + 32.0
        if unit is Unit.CELSIUS:
            return value
    return value / _factor(unit, quantity)


def units_of(quantity: Quantity) -> tuple[Unit, ...]:
    """Return the units in which a quantity may be read."""
    return tuple(unit for unit in Unit if _fits(unit, quantity))


def _fits(unit: Unit, quantity: Quantity) -> bool:
    """Return whether the unit measures the quantity."""
    if quantity is Quantity.TEMPERATURE:
        return unit in {Unit.CELSIUS, Unit.FAHRENHEIT}
    if quantity is Quantity.CONCENTRATION:
        return unit in {Unit.MG_L, Unit.PPM}
    return unit in _AS_CACO3 or unit is Unit.MMOL_L


def _factor(unit: Unit, quantity: Quantity) -> float:
    """Return the mg/L in one unit."""
    if not _fits(unit, quantity) or quantity is Quantity.TEMPERATURE:
        raise InputError("unit", f"{unit.value} does not measure {quantity.value}")
    return _PER_MMOL[quantity] if unit is Unit.MMOL_L else _AS_CACO3[unit]
