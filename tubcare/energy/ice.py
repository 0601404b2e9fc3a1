"""How ice grows on water, and what it does to full pipes.

Ice is never something to stand on, so no load is derived from a thickness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.lumped import SECONDS_PER_DAY
from tubcare.energy.ranges import require
from tubcare.energy.water_properties import (
    FUSION_J_KG,
    ICE_CONDUCTIVITY_W_MK,
    ICE_DENSITY_KG_M3,
    density_kg_m3,
)

if TYPE_CHECKING:
    from collections.abc import Sequence


def ice_thickness_m(*, difference_k: float, days: float, surface_m2k_w: float) -> float:
    """Return how thick ice grows on water at 0 °C. [m].

    Parameters
    ----------
    difference_k
        How far the air lies below 0 °C. [K], 0..60
    days
        How long. [d], 0..365
    surface_m2k_w
        Resistance above the ice: air film and lid. [m² K W⁻¹], 0..20; with 0 it is the formula of
        Stefan, an upper bound

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    G. D. Ashton, "Lake ice", Encyclopaedia Britannica: dh/dt = dT / (rho L (h/k + R)).
    """
    require("difference_k", difference_k, 0.0, 60.0)
    require("days", days, 0.0, 365.0)
    require("surface_m2k_w", surface_m2k_w, 0.0, 20.0)
    offset_m = ICE_CONDUCTIVITY_W_MK * surface_m2k_w
    heat = difference_k * days * SECONDS_PER_DAY / (ICE_DENSITY_KG_M3 * FUSION_J_KG)
    return math.sqrt(offset_m**2 + 2.0 * ICE_CONDUCTIVITY_W_MK * heat) - offset_m


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostDegreeDays:
    """Degree-days below 0 °C: of the frost days alone, and less thaw but never below 0. [K d]."""

    frost_only: float
    net: float
    most_net: float


def frost_degree_days(daily_mean_c: Sequence[float]) -> FrostDegreeDays:
    """Return both customary sums of degree-days below 0 °C over days in order.

    Parameters
    ----------
    daily_mean_c
        Mean of each day, in order. [°C], -90..60

    Raises
    ------
    OutOfRangeError
        If a daily mean lies outside -90..60 °C.

    References
    ----------
    Both sums are customary, in [K d]; which one a source means is not always said (from memory).
    """
    frost_only = net = most = 0.0
    for mean_c in daily_mean_c:
        require("daily_mean_c", mean_c, -90.0, 60.0)
        frost_only += max(0.0, -mean_c)
        net = max(0.0, net - mean_c)
        most = max(most, net)
    return FrostDegreeDays(frost_only=frost_only, net=net, most_net=most)


def volume_growth_on_freezing() -> float:
    """Return the share by which water at 0 °C grows when it freezes: why full pipes burst. [-].

    Raises nothing; about 0.09, see below.

    References
    ----------
    Densities of water (IAPWS SR6-08) and of ice (Ashton, "Lake ice") at 0 °C.
    """
    return density_kg_m3(0.0) / ICE_DENSITY_KG_M3 - 1.0
