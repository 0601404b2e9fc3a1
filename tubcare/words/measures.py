"""What is measured and counted, told with its name and unit."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.care.terms import Counter
from tubcare.words.numbers import number
from tubcare.words.quantities import Unit, quantity, quantity_figure
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.words.locale import Speech

MEASURED: Mapping[str, tuple[Term, Unit | None]] = MappingProxyType(
    {
        "ph": (term("measured", "pH"), None),
        "free_chlorine_mg_l": (term("measured", "free chlorine"), Unit.MG_PER_LITRE),
        "total_chlorine_mg_l": (term("measured", "total chlorine"), Unit.MG_PER_LITRE),
        "combined_chlorine_mg_l": (term("measured", "combined chlorine"), Unit.MG_PER_LITRE),
        "bromine_mg_l": (term("measured", "bromine"), Unit.MG_PER_LITRE),
        "peroxide_mg_l": (term("measured", "hydrogen peroxide"), Unit.MG_PER_LITRE),
        "alkalinity_mg_l": (term("measured", "alkalinity"), Unit.MG_PER_LITRE),
        "hardness_mg_l": (term("measured", "calcium hardness"), Unit.MG_PER_LITRE),
        "cyanurate_mg_l": (term("measured", "cyanurate"), Unit.MG_PER_LITRE),
        "boron_mg_l": (term("measured", "borate, as boron"), Unit.MG_PER_LITRE),
        "chloride_mg_l": (term("measured", "chloride"), Unit.MG_PER_LITRE),
        "tds_mg_l": (term("measured", "dissolved solids"), Unit.MG_PER_LITRE),
        "orp_mv": (term("measured", "redox potential"), Unit.MILLIVOLT),
        "water_c": (term("measured", "water temperature"), Unit.CELSIUS),
        "air_c": (term("measured", "air temperature"), Unit.CELSIUS),
        "flow_l_min": (term("measured", "flow"), Unit.LITRE_PER_MINUTE),
        "pressure_bar": (term("measured", "filter pressure"), Unit.BAR),
        "clarity": (term("measured", "clarity"), None),
        "smell": (term("measured", "smell"), None),
        "slime": (term("measured", "slime"), None),
        "foam": (term("measured", "foam"), None),
        "colour": (term("measured", "colour"), None),
        "ice": (term("measured", "ice"), None),
        "sample_c": (term("measured", "temperature of the sample"), Unit.CELSIUS),
        "ph_as_read": (term("measured", "pH as read"), None),
        "level_drop_mm": (term("measured", "drop of the water level"), Unit.MILLIMETRE),
        "top_up_l": (term("measured", "water topped up"), Unit.LITRE),
        "untested_doses": (term("measured", "doses since the last test"), None),
        "water_wear_percent": (term("measured", "wear of the water"), Unit.PERCENT),
        "top_up_week_percent": (
            term("measured", "water topped up within a week"),
            Unit.PERCENT,
        ),
        "liner_exposure_percent": (term("measured", "way to the next inspection"), Unit.PERCENT),
    }
)
# The longest ending first, so that mg_l is not taken for l.
_ENDINGS = tuple(sorted(Unit, key=lambda unit: -len(unit.value)))


def measured_name(speech: Speech, name: str) -> str:
    """Return the name of a measured quantity; one that is not known is told as it is written."""
    known = MEASURED.get(name)
    if known is not None:
        return say_term(speech, known[0])
    unit = unit_of(name)
    bare = name if unit is None else name[: -len(unit.value) - 1]
    return bare.replace("_", " ")


def measured_value(speech: Speech, name: str, value: float) -> str:
    """Return a measured value with its unit: 7.9, 0.32 mg/L, 4 °C."""
    unit = unit_of(name)
    return number(speech, value) if unit is None else quantity(speech, value, unit)


def measured_figure(speech: Speech, name: str, value: float) -> str:
    """Return a measured value without its unit, in the unit that the person reads."""
    unit = unit_of(name)
    return number(speech, value) if unit is None else quantity_figure(speech, value, unit)


def unit_of(name: str) -> Unit | None:
    """Return the unit that a name ends with, as in ``water_c`` or ``flow_l_min``."""
    if name in MEASURED:
        return MEASURED[name][1]
    return next((unit for unit in _ENDINGS if name.endswith(f"_{unit.value}")), None)


def counted(speech: Speech, counter: Counter, amount: float) -> str:
    """Return an amount of use: 41 dips, 200 pump hours. Fractions below 10 keep one digit."""
    n = round(amount)
    shown = number(speech, round(amount, 1)) if 0 < amount < 10 else number(speech, n)
    # A fraction takes the form for many in each language there are sentences in.
    form = n if amount == n or amount >= 10 else 2
    match counter:
        case Counter.DIP:
            return speech.say_count("{amount} dip", "{amount} dips", form, amount=shown)
        case Counter.PUMP_H:
            return speech.say_count(
                "{amount} pump hour", "{amount} pump hours", form, amount=shown
            )
        case Counter.CHILLER_H:
            return speech.say_count(
                "{amount} chiller hour", "{amount} chiller hours", form, amount=shown
            )
        case Counter.KWH:
            return quantity(speech, amount, Unit.KILOWATT_HOUR)
        case Counter.LITRE:
            return speech.say("{amount} filled", amount=quantity(speech, n, Unit.LITRE))
