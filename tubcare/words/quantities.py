"""Quantities with their units, metric or US customary; kept and handed on in metric units.

The conversion factors are exact: NIST Special Publication 811 (2008), appendix B.
"""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from tubcare.errors import InputError
from tubcare.words.locale import Units
from tubcare.words.numbers import NO_BREAK_SPACE, normalised, number, parse_number

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.words.locale import Speech


class Unit(StrEnum):
    """The unit that a quantity is kept in, as names of fields end with it."""

    LITRE = "l"
    CUBIC_METRE = "m3"
    MILLILITRE = "ml"
    GRAM = "g"
    KILOGRAM = "kg"
    METRE = "m"
    CENTIMETRE = "cm"
    MILLIMETRE = "mm"
    SQUARE_METRE = "m2"
    CELSIUS = "c"
    KELVIN = "k"
    LITRE_PER_MINUTE = "l_min"
    BAR = "bar"
    MG_PER_LITRE = "mg_l"
    MILLIVOLT = "mv"
    WATT = "w"
    KILOWATT = "kw"
    KILOWATT_HOUR = "kwh"
    HOUR = "h"
    MINUTE = "min"
    PERCENT = "percent"


class _Shown(NamedTuple):
    """A unit on the screen: `shown = kept / size + offset`, and the decimals that make sense."""

    symbol: str
    decimals: int
    size: Decimal = Decimal(1)
    offset: Decimal = Decimal(0)


_GALLON_L = Decimal("3.785411784")
_OUNCE_G = Decimal("28.349523125")
_POUND_KG = Decimal("0.45359237")
_FLUID_OUNCE_ML = Decimal("29.5735295625")
_INCH_CM = Decimal("2.54")
_FOOT_M = Decimal("0.3048")
_PSI_BAR = Decimal("0.06894757293168")

_METRIC: Mapping[Unit, _Shown] = MappingProxyType(
    {
        Unit.LITRE: _Shown(symbol="l", decimals=1),
        Unit.CUBIC_METRE: _Shown(symbol="m³", decimals=2),
        Unit.MILLILITRE: _Shown(symbol="ml", decimals=0),
        Unit.GRAM: _Shown(symbol="g", decimals=1),
        Unit.KILOGRAM: _Shown(symbol="kg", decimals=2),
        Unit.METRE: _Shown(symbol="m", decimals=2),
        Unit.CENTIMETRE: _Shown(symbol="cm", decimals=0),
        Unit.MILLIMETRE: _Shown(symbol="mm", decimals=0),
        Unit.SQUARE_METRE: _Shown(symbol="m²", decimals=1),
        Unit.CELSIUS: _Shown(symbol="°C", decimals=1),
        Unit.KELVIN: _Shown(symbol="°C", decimals=1),
        Unit.LITRE_PER_MINUTE: _Shown(symbol="l/min", decimals=1),
        Unit.BAR: _Shown(symbol="bar", decimals=2),
        Unit.MG_PER_LITRE: _Shown(symbol="mg/L", decimals=2),
        Unit.MILLIVOLT: _Shown(symbol="mV", decimals=0),
        Unit.WATT: _Shown(symbol="W", decimals=0),
        Unit.KILOWATT: _Shown(symbol="kW", decimals=2),
        Unit.KILOWATT_HOUR: _Shown(symbol="kWh", decimals=1),
        Unit.HOUR: _Shown(symbol="h", decimals=1),
        Unit.MINUTE: _Shown(symbol="min", decimals=0),
        Unit.PERCENT: _Shown(symbol="%", decimals=0),
    }
)
_US: Mapping[Unit, _Shown] = MappingProxyType(
    {
        Unit.LITRE: _Shown(symbol="gal", decimals=1, size=_GALLON_L),
        Unit.CUBIC_METRE: _Shown(symbol="gal", decimals=0, size=_GALLON_L / 1000),
        Unit.MILLILITRE: _Shown(symbol="fl oz", decimals=1, size=_FLUID_OUNCE_ML),
        Unit.GRAM: _Shown(symbol="oz", decimals=2, size=_OUNCE_G),
        Unit.KILOGRAM: _Shown(symbol="lb", decimals=2, size=_POUND_KG),
        Unit.METRE: _Shown(symbol="ft", decimals=2, size=_FOOT_M),
        Unit.CENTIMETRE: _Shown(symbol="in", decimals=1, size=_INCH_CM),
        Unit.MILLIMETRE: _Shown(symbol="in", decimals=2, size=_INCH_CM * 10),
        Unit.SQUARE_METRE: _Shown(symbol="ft²", decimals=0, size=_FOOT_M * _FOOT_M),
        Unit.CELSIUS: _Shown(
            symbol="°F", decimals=1, size=Decimal(5) / Decimal(9), offset=Decimal(32)
        ),
        Unit.KELVIN: _Shown(symbol="°F", decimals=1, size=Decimal(5) / Decimal(9)),
        Unit.LITRE_PER_MINUTE: _Shown(symbol="gal/min", decimals=1, size=_GALLON_L),
        Unit.BAR: _Shown(symbol="psi", decimals=1, size=_PSI_BAR),
    }
)


def unit_symbol(speech: Speech, unit: Unit) -> str:
    """Return the sign of the unit that a person sees: "l" or "gal"."""
    return _shown(speech, unit).symbol


def quantity(speech: Speech, value: float, unit: Unit, decimals: int | None = None) -> str:
    """Return a quantity with its unit; the space between them does not break.

    Parameters
    ----------
    value
        In `unit`, whatever units the person uses.
    decimals
        Digits after the decimal sign; None takes at most those that make sense for the unit.
    """
    shown = _shown(speech, unit)
    figure = quantity_figure(speech, value, unit, decimals)
    return f"{figure}{NO_BREAK_SPACE}{shown.symbol}"


def quantity_figure(speech: Speech, value: float, unit: Unit, decimals: int | None = None) -> str:
    """Return the number of a quantity in the unit that `unit_symbol` names."""
    shown = _shown(speech, unit)
    exact = Decimal(repr(float(value))) / shown.size + shown.offset
    if decimals is not None:
        return number(speech, exact, decimals)
    return number(speech, round(exact, shown.decimals))


def parse_quantity(speech: Speech, field: str, text: str, unit: Unit) -> float:
    """Return the quantity that a person typed, in `unit`; its sign may be left out.

    Raises
    ------
    InputError
        For what is not one certain number, or carries another unit.
    """
    shown = _shown(speech, unit)
    plain = normalised(text)
    ending = normalised(shown.symbol)
    if plain.casefold().endswith(ending.casefold()):
        plain = plain[: -len(ending)].rstrip()
    if any(char.isalpha() for char in plain):
        raise InputError(
            field,
            speech.say(
                "“{text}” is not a number of {unit}", text=text.strip()[:60], unit=shown.symbol
            ),
        )
    return float((parse_number(speech, field, plain) - shown.offset) * shown.size)


def _shown(speech: Speech, unit: Unit) -> _Shown:
    if speech.units is Units.US and unit in _US:
        return _US[unit]
    return _METRIC[unit]


def with_unit(speech: Speech, label: str, unit: Unit) -> str:
    """Return the label of a field with the unit that is typed into it: "Pump draws, W"."""
    return speech.say("{label}, {unit}", label=label, unit=unit_symbol(speech, unit))
