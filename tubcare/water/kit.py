"""What a tub's test kit shows, and in which units; inside everything is mg/L and °C."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError
from tubcare.values import FilterKind, Sanitiser
from tubcare.water.galvanic import Metal
from tubcare.water.units import Dimension, Unit, from_inside, to_inside, units_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.values import TubProfile

DIMENSION_OF: Final[Mapping[str, Dimension]] = MappingProxyType(
    {
        "alkalinity_mg_l": Dimension.ALKALINITY,
        "hardness_mg_l": Dimension.HARDNESS,
        "free_chlorine_mg_l": Dimension.CONCENTRATION,
        "total_chlorine_mg_l": Dimension.CONCENTRATION,
        "combined_chlorine_mg_l": Dimension.CONCENTRATION,
        "bromine_mg_l": Dimension.CONCENTRATION,
        "peroxide_mg_l": Dimension.CONCENTRATION,
        "cyanurate_mg_l": Dimension.CONCENTRATION,
        "boron_mg_l": Dimension.CONCENTRATION,
        "chloride_mg_l": Dimension.CONCENTRATION,
        "tds_mg_l": Dimension.CONCENTRATION,
        "water_c": Dimension.TEMPERATURE,
        "sample_c": Dimension.TEMPERATURE,
    }
)
# Answered with one tap; the rest is typed.
OBSERVED: Final[tuple[str, ...]] = ("clarity", "smell", "slime", "foam", "colour", "ice")
MEASURED: Final[tuple[str, ...]] = (
    "ph",
    "sample_c",
    "free_chlorine_mg_l",
    "total_chlorine_mg_l",
    "bromine_mg_l",
    "peroxide_mg_l",
    "alkalinity_mg_l",
    "hardness_mg_l",
    "cyanurate_mg_l",
    "boron_mg_l",
    "chloride_mg_l",
    "tds_mg_l",
    "water_c",
    "top_up_l",
    "pressure_bar",
    "flow_l_min",
)
# What the pads of a strip are printed with, where the person has not written down their own
# [in mg/L, pH]. Common practice, no source.
USUAL_STEPS: Final[Mapping[str, tuple[float, ...]]] = MappingProxyType(
    {
        "ph": (6.2, 6.8, 7.2, 7.6, 8.0, 8.4),
        "free_chlorine_mg_l": (0.0, 0.5, 1.0, 3.0, 5.0, 10.0),
        "total_chlorine_mg_l": (0.0, 0.5, 1.0, 3.0, 5.0, 10.0),
        "bromine_mg_l": (0.0, 1.0, 2.0, 6.0, 10.0, 20.0),
        "peroxide_mg_l": (0.0, 10.0, 30.0, 50.0, 100.0),
        "alkalinity_mg_l": (0.0, 40.0, 80.0, 120.0, 180.0, 240.0),
        "hardness_mg_l": (0.0, 50.0, 100.0, 250.0, 425.0),
        "cyanurate_mg_l": (0.0, 30.0, 50.0, 100.0, 150.0),
        "boron_mg_l": (0.0, 15.0, 30.0, 50.0, 80.0),
    }
)
_SANITISER_FIELDS: Final[Mapping[Sanitiser, tuple[str, ...]]] = MappingProxyType(
    {
        Sanitiser.CHLORINE: ("free_chlorine_mg_l",),
        Sanitiser.BROMINE: ("bromine_mg_l",),
        Sanitiser.HYDROGEN_PEROXIDE: ("peroxide_mg_l",),
        Sanitiser.OZONE: ("free_chlorine_mg_l",),
        Sanitiser.UV: ("free_chlorine_mg_l",),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """A test kit.

    Attributes
    ----------
    fields
        What it shows and what the person notes, by name in the logbook.
    units
        Unit for each dimension; one that is missing is in mg/L or °C.
    strips
        Printed steps of each pad that is matched by colour, in the unit of the kit.
    metals
        Metals that touch the water beside the liner: in the unit, pump and fittings.
    """

    fields: tuple[str, ...]
    units: Mapping[Dimension, Unit] = field(default_factory=dict)
    strips: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    metals: frozenset[Metal] = frozenset()

    def __post_init__(self) -> None:
        """Refuse fields, units and steps that cannot be."""
        known = {*OBSERVED, *MEASURED}
        unknown = [name for name in self.fields if name not in known]
        if unknown:
            raise InputError("fields", f"“{unknown[0]}” is nothing that a kit shows")
        for dimension, unit in self.units.items():
            if unit not in units_of(dimension):
                raise InputError("units", f"{unit.value} does not measure {dimension.value}")
        for name, steps in self.strips.items():
            if len(steps) < 2 or list(steps) != sorted(set(steps)):
                raise InputError(name, "the steps of a pad must rise and be two at least")

    def unit_of(self, name: str) -> Unit | None:
        """Return the unit in which a field is read; None for pH and what has no choice."""
        dimension = DIMENSION_OF.get(name)
        if dimension is None:
            return None
        usual = Unit.CELSIUS if dimension is Dimension.TEMPERATURE else Unit.MG_L
        return self.units.get(dimension, usual)

    def inside(self, name: str, value: float) -> float:
        """Return a value as read by the kit in mg/L or °C."""
        unit = self.unit_of(name)
        return value if unit is None else to_inside(value, unit, DIMENSION_OF[name])

    def shown(self, name: str, value: float) -> float:
        """Return a value held in mg/L or °C as the kit would read it."""
        unit = self.unit_of(name)
        return value if unit is None else from_inside(value, unit, DIMENSION_OF[name])


def usual_kit(profile: TubProfile) -> Kit:
    """Return the kit that a tub of this kind usually has, until the person says otherwise."""
    fields = ["clarity", "smell", "slime", "foam", "colour", "ice", "ph"]
    fields += _SANITISER_FIELDS.get(profile.sanitiser, ())
    fields += ["alkalinity_mg_l", "water_c", "top_up_l"]
    if profile.filter_kind is FilterKind.SAND:
        fields.append("pressure_bar")
    elif profile.filter_kind is not FilterKind.NONE and profile.pump_w > 0:
        fields.append("flow_l_min")
    return Kit(fields=tuple(fields))


def kit_to_data(kit: Kit) -> dict[str, object]:
    """Return a kit as it is stored."""
    return {
        "fields": list(kit.fields),
        "units": {dimension.value: unit.value for dimension, unit in kit.units.items()},
        "strips": {name: list(steps) for name, steps in kit.strips.items()},
        "metals": sorted(kit.metals),
    }


def kit_from_data(data: Mapping[str, object]) -> Kit:
    """Return a stored kit; raise `InputError` for one that cannot be read."""
    fields, units, strips = data.get("fields"), data.get("units"), data.get("strips")
    if not isinstance(fields, list) or not isinstance(units, dict) or not isinstance(strips, dict):
        raise InputError("kit", "cannot be read")
    try:
        return Kit(
            fields=tuple(str(name) for name in fields),
            units={Dimension(key): Unit(value) for key, value in units.items()},
            strips={str(name): tuple(map(float, steps)) for name, steps in strips.items()},
            metals=_metals(data.get("metals")),
        )
    except (TypeError, ValueError) as error:
        raise InputError("kit", f"cannot be read: {error}") from error


def _metals(data: object) -> frozenset[Metal]:
    return frozenset(Metal(str(name)) for name in data) if isinstance(data, list) else frozenset()
