"""A tub for the engine from its description: what is not told has a stated default.

The defaults are our own choice of ordinary builds, not measured: an aluminium liner is taken for a
converted freezer chest with 50 mm of foam, a tub of plastic or steel with wood around it for one
with 25 mm of foam between. Whoever knows better says so in the build editor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.chiller import Chiller, Evaporator
from tubcare.energy.construction import Layer, solid_layer
from tubcare.energy.envelope import Build, Faces, box_faces, round_faces
from tubcare.energy.hourly_load import Thermostat
from tubcare.energy.ranges import require
from tubcare.energy.tub import Pump, Tub, Use
from tubcare.errors import InputError
from tubcare.values import Cladding, LidKind, Liner, Shape

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.energy.build_data import BuildUp, Material
    from tubcare.values import TubProfile

# Heat taken out for each watt that the label says the unit draws: 100-800 W units take out 250 to
# 2000 W (makers' figures, from memory).
_COOLING_PER_W = 2.5
_USUAL_DEPTH_M = 0.6
_USUAL_BARREL_DEPTH_M = 0.75
_WALLS = {
    Liner.ALUMINIUM: "foam_50",
    Liner.STAINLESS_STEEL: "bare_steel",
    Liner.HDPE_PP: "bare_plastic",
    Liner.ACRYLIC: "bare_plastic",
    Liner.GRP: "bare_plastic",
    Liner.PVC: "inflatable_100",
    Liner.WOOD: "wood_40",
}
_CLAD = "foam_25_wood_20"
_LIDS = {
    LidKind.NONE: "thin_cover",
    LidKind.SOFT: "thin_cover",
    LidKind.INSULATED: "foam_lid_40",
    LidKind.WOOD: "wood_lid_20",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """What a person says about build and machine beside the profile.

    Parameters
    ----------
    wall, lid
        Keys of named build-ups.
    wall_layers, lid_layers
        Own layers from the water outwards, material and millimetres; they go before the names.
    bridges_w_k
        Leak through hoses, fittings and rims. [W K⁻¹], 0..50
    lid_absorptance, shading
        Share of the sun that the lid takes up, and that never reaches it. [-], 0..1
    evaporator
        How the water meets the refrigerant.
    cooling_w
        Heat taken out at 10 °C water and 20 °C air, [W]; 0 for none
    least_air_c
        Lowest ambient on the unit's label. [°C], or None
    pump_w, pump_hours_per_day
        Drawn by the pump while it runs [W], and for how long a day [h].
    set_point_c, half_band_k
        Thermostat. [°C], [K]
    dips_per_day
        Of an ordinary day. [-], 0..100
    """

    wall: str
    lid: str
    wall_layers: tuple[tuple[str, float], ...] = ()
    lid_layers: tuple[tuple[str, float], ...] = ()
    bridges_w_k: float = 1.0
    lid_absorptance: float = 0.6
    shading: float = 0.0
    evaporator: Evaporator = Evaporator.COIL_IN_WATER
    cooling_w: float = 0.0
    least_air_c: float | None = None
    pump_w: float = 0.0
    pump_hours_per_day: float = 24.0
    set_point_c: float = 6.0
    half_band_k: float = 0.5
    dips_per_day: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildCatalogue:
    """Named materials and build-ups to choose from."""

    materials: tuple[Material, ...]
    build_ups: tuple[BuildUp, ...]

    def keys(self, part: str) -> tuple[str, ...]:
        """Return the keys of the build-ups for a part, "wall" or "lid"."""
        return tuple(each.key for each in self.build_ups if each.part == part)

    def layers(self, part: str, key: str, own: tuple[tuple[str, float], ...]) -> tuple[Layer, ...]:
        """Return the layers of a part, the person's own before the named ones.

        Raises
        ------
        InputError
            For an unknown material or build-up.
        OutOfRangeError
            For a layer thinner than 0.1 mm or thicker than 1 m.
        """
        if own:
            return tuple(self._layer(material, mm) for material, mm in own)
        for each in self.build_ups:
            if (each.key, each.part) == (key, part):
                return each.layers
        raise InputError(part, f"“{key}” is not one of {', '.join(self.keys(part))}")

    def _layer(self, material: str, thickness_mm: float) -> Layer:
        by_key: Mapping[str, Material] = {each.key: each for each in self.materials}
        if material not in by_key:
            raise InputError("material", f"“{material}” is not one of {', '.join(by_key)}")
        require("thickness_mm", thickness_mm, 0.1, 1000.0)
        return solid_layer(
            thickness_m=thickness_mm / 1000.0,
            conductivity_w_mk=by_key[material].conductivity_w_mk,
        )


def described_by(profile: TubProfile) -> Described:
    """Return the build that a profile stands for until a person says more.

    Raises nothing.

    Parameters
    ----------
    profile
        Of the tub; electric powers in [W], temperatures in [°C].

    References
    ----------
    Own choice of ordinary builds; 2.5 W of cooling for each electric one: makers' figures, from
    memory.
    """
    clad = profile.cladding is not Cladding.NONE and profile.liner is not Liner.WOOD
    chest = profile.liner is Liner.ALUMINIUM
    return Described(
        wall=_CLAD if clad and not chest else _WALLS[profile.liner],
        lid=_LIDS[profile.lid],
        cooling_w=profile.chiller_w * _COOLING_PER_W,
        pump_w=profile.pump_w,
        set_point_c=min(max(profile.set_point_c, 1.0), 30.0),
    )


def faces_of(profile: TubProfile) -> Faces:
    """Return the faces of the water; sides that are not told follow from the litres.

    Parameters
    ----------
    profile
        Sides and depth in [m], 0.1..10; volume in [L], 20..20000.

    Raises
    ------
    OutOfRangeError
        If a side that follows lies outside its range.

    References
    ----------
    Plain geometry; usual depths 0.6 m and 0.75 m are our own choice.
    """
    floor_m2, depth_m = _floor_and_depth(profile)
    if profile.shape is Shape.CYLINDER:
        diameter_m = math.sqrt(4.0 * floor_m2 / math.pi)
        return round_faces(diameter_m=max(diameter_m, 0.1), height_m=depth_m)
    # Twice as long as wide, where the sides are not told.
    length_m = profile.length_m or math.sqrt(2.0 * floor_m2)
    width_m = profile.width_m or floor_m2 / length_m
    return box_faces(length_m=length_m, width_m=max(width_m, 0.1), height_m=depth_m)


def tub_from(profile: TubProfile, described: Described, catalogue: BuildCatalogue) -> Tub:
    """Return the tub as the energy engine sees it.

    Parameters
    ----------
    profile
        Sides and volume.
    described
        Build and machine, in the units of its fields.
    catalogue
        Materials and build-ups that may be named.

    Raises
    ------
    InputError
        For an unknown material or build-up.
    OutOfRangeError
        For a value outside the range of its part.

    References
    ----------
    As the parts that are put together; each names its own.
    """
    wall = catalogue.layers("wall", described.wall, described.wall_layers)
    build = Build(
        faces=faces_of(profile),
        wall=wall,
        bottom=wall,
        lid=catalogue.layers("lid", described.lid, described.lid_layers),
        bridges_w_k=described.bridges_w_k,
    )
    return Tub(
        volume_l=profile.volume_l,
        envelope=build.envelope(
            lid_absorptance=described.lid_absorptance, shading=described.shading
        ),
        chiller=Chiller(
            evaporator=described.evaporator,
            cooling_w=described.cooling_w,
            least_air_c=described.least_air_c,
        ),
        thermostat=Thermostat(
            set_point_c=described.set_point_c,
            half_band_k=min(described.half_band_k, described.set_point_c - 0.25),
        ),
        pump=Pump(power_w=described.pump_w, hours_per_day=described.pump_hours_per_day),
        use=Use(dips_per_day=described.dips_per_day),
        resting=described.cooling_w == 0.0,
    )


def _floor_and_depth(profile: TubProfile) -> tuple[float, float]:
    usual = _USUAL_BARREL_DEPTH_M if profile.shape is Shape.CYLINDER else _USUAL_DEPTH_M
    depth_m = profile.depth_m or usual
    return profile.volume_l / 1000.0 / depth_m, depth_m
