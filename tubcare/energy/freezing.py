"""How long until still water stands at 0 °C, and until it is ice.

All times are for water that does not move and is not heated: a power cut. Water often cools
several kelvin below 0 °C before it freezes; 0 °C is taken as the limit because that cannot be
relied on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.lumped import (
    SECONDS_PER_HOUR,
    LumpedBody,
    time_to_reach_s,
)
from tubcare.energy.ranges import require
from tubcare.energy.water_properties import (
    FUSION_J_KG,
    ICE_CONDUCTIVITY_W_MK,
    ICE_DENSITY_KG_M3,
    volumetric_heat_j_l_k,
)

if TYPE_CHECKING:
    from tubcare.energy.uncertainty import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """Hours until 0 °C, and from there until ice as asked; None: it does not get there. [h].

    `ice_share` is how much of it is ice then [-]; `zero_range` what the first may be off.
    """

    to_zero_h: float | None
    to_ice_h: float | None
    ice_share: float = 1.0
    zero_range: Estimate | None = None


def tub_freeze(body: LumpedBody, *, volume_l: float, start_c: float, ice_share: float) -> Freeze:
    """Return when a still tub stands at 0 °C, and when `ice_share` of its mass is ice.

    Parameters
    ----------
    body
        The water with chiller and pump off.
    volume_l
        Water in the tub. [L], 20..20000
    start_c
        Water temperature. [°C], 0..40
    ice_share
        Share of the mass. [-], 0..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    Notes
    -----
    The water is taken as mixed. Still water is densest near 4 °C, so with the lid off on a clear
    night a skin of ice comes before the whole reaches 0 °C: then the time is too long.

    References
    ----------
    Lumped-capacity method (e.g. Incropera & DeWitt, ch. 5); latent heat: Ashton, "Lake ice".
    """
    require("volume_l", volume_l, 20.0, 20000.0)
    require("start_c", start_c, 0.0, 40.0)
    require("ice_share", ice_share, 0.0, 1.0)
    loss_w = -body.rate_k_s(0.0) * body.heat_capacity_j_k
    if loss_w <= 0.0:
        return Freeze(to_zero_h=None, to_ice_h=None)
    to_zero_s = time_to_reach_s(body, start_c=start_c, target_c=0.0)
    # One kilogram a litre is within 0.02 % between 0 and 8 °C.
    ice_s = ice_share * volume_l * FUSION_J_KG / loss_w
    return Freeze(
        to_zero_h=None if to_zero_s is None else to_zero_s / SECONDS_PER_HOUR,
        to_ice_h=ice_s / SECONDS_PER_HOUR,
        ice_share=ice_share,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StillPart:
    """A round part with still water in it: a hose, a pipe, the body of a pump.

    Parameters
    ----------
    inner_diameter_m
        Of the water. [m], 0.003..0.5
    film_w_m2k
        Heat transfer to the air, wall neglected. [W m⁻² K⁻¹], 1..1e6: about 10 in still air, 25 in
        wind; the largest leaves the film out
    insulation_m
        Thickness of insulation. [m], 0..0.2
    insulation_w_mk
        Its conductivity. [W m⁻¹ K⁻¹], 0.01..1
    wall_m
        Thickness of the wall under the insulation. [m], 0..0.05
    """

    inner_diameter_m: float
    film_w_m2k: float = 10.0
    insulation_m: float = 0.0
    insulation_w_mk: float = 0.035
    wall_m: float = 0.0

    def __post_init__(self) -> None:
        require("inner_diameter_m", self.inner_diameter_m, 0.003, 0.5)
        require("film_w_m2k", self.film_w_m2k, 1.0, 1e6)
        require("insulation_m", self.insulation_m, 0.0, 0.2)
        require("insulation_w_mk", self.insulation_w_mk, 0.01, 1.0)
        require("wall_m", self.wall_m, 0.0, 0.05)

    @property
    def resistance_mk_w(self) -> float:
        """Resistance between the water and the air for each metre. [m K W⁻¹]."""
        outer_m = self.inner_diameter_m + 2.0 * self.wall_m
        covered_m = outer_m + 2.0 * self.insulation_m
        insulation = math.log(covered_m / outer_m) / (2.0 * math.pi * self.insulation_w_mk)
        return insulation + 1.0 / (math.pi * covered_m * self.film_w_m2k)


def part_freeze(
    part: StillPart,
    *,
    start_c: float,
    air_c: float,
    volumetric_j_l_k: float | None = None,
) -> Freeze:
    """Return when the water in a still part stands at 0 °C, and when it is ice throughout.

    Parameters
    ----------
    part
        What it is.
    start_c
        Water temperature. [°C], 0..40
    air_c
        Air temperature. [°C], -60..40
    volumetric_j_l_k
        Heat capacity of the water. [J L⁻¹ K⁻¹], 4100..4250; at half of `start_c` when None

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    To 0 °C: ASHRAE Handbook Fundamentals 2017, ch. 23, eq. 1 with the air film added. To ice: own
    derivation, an ice front from the wall inwards: t = rho L (A R_T + r² / 4 k) / dT.
    """
    require("start_c", start_c, 0.0, 40.0)
    require("air_c", air_c, -60.0, 40.0)
    if air_c >= 0.0:
        return Freeze(to_zero_h=None, to_ice_h=None)
    heat = volumetric_j_l_k or volumetric_heat_j_l_k(start_c / 2.0)
    require("volumetric_j_l_k", heat, 4100.0, 4250.0)
    radius_m = part.inner_diameter_m / 2.0
    section_m2 = math.pi * radius_m**2
    to_zero_s = heat * 1000.0 * section_m2 * part.resistance_mk_w
    to_zero_s *= math.log((start_c - air_c) / -air_c)
    fusion_j_m3 = ICE_DENSITY_KG_M3 * FUSION_J_KG
    through_ice = radius_m**2 / (4.0 * ICE_CONDUCTIVITY_W_MK)
    to_ice_s = fusion_j_m3 / -air_c * (through_ice + section_m2 * part.resistance_mk_w)
    return Freeze(to_zero_h=to_zero_s / SECONDS_PER_HOUR, to_ice_h=to_ice_s / SECONDS_PER_HOUR)
