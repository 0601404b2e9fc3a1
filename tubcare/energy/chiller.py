"""The chiller: how much it cools and what it draws, on refrigerant-side temperatures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = float | NDArray[np.float64]

_KELVIN = 273.15
RATED_WATER_C, RATED_AIR_C = 10.0, 20.0
LOWEST_AMBIENT = "evaporator.lowest_ambient"


class Evaporator(StrEnum):
    """How the water meets the refrigerant."""

    WALL_COIL = "wall_coil"
    COIL_IN_WATER = "coil_in_water"
    FLOW_THROUGH = "flow_through"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chiller:
    """A small chiller.

    Parameters
    ----------
    evaporator
        Kind of evaporator. A flow-through one works only while the pump runs.
    cooling_w
        Heat taken out at the rated temperatures. [W], 0..20000
    rated_water_c, rated_air_c
        Temperatures at which that holds. [°C], 0..40 and -20..50
    cooling_per_water_k, cooling_per_air_k
        Share gained for each kelvin of water, lost for each kelvin of air. [K⁻¹], 0..0.1; computed
        cycles of R290, R600a and R134a give 0.033 to 0.036 and 0.009
    carnot_share
        COP over the COP of an ideal cycle between the refrigerant temperatures. [-], 0.1..0.7;
        small hermetic compressors reach 0.36 to 0.50 (EPA-430-R-93-010, 1993)
    evaporator_approach_k, condenser_approach_k
        How far the refrigerant lies below the water and above the air. [K], 1..40
    least_condensing_c
        Below this the condenser does not fall in cold weather. [°C], 0..60
    fan_w
        Drawn beside the compressor while it runs. [W], 0..500
    least_air_c
        Lowest ambient on the unit's label; the unit is held off below it. [°C], -40..30, or None
    """

    evaporator: Evaporator
    cooling_w: float
    rated_water_c: float = RATED_WATER_C
    rated_air_c: float = RATED_AIR_C
    cooling_per_water_k: float = 0.033
    cooling_per_air_k: float = 0.009
    carnot_share: float = 0.42
    evaporator_approach_k: float = 8.0
    condenser_approach_k: float = 12.0
    least_condensing_c: float = 20.0
    fan_w: float = 25.0
    least_air_c: float | None = None

    def __post_init__(self) -> None:
        require("cooling_w", self.cooling_w, 0.0, 20000.0)
        require("rated_water_c", self.rated_water_c, 0.0, 40.0)
        require("rated_air_c", self.rated_air_c, -20.0, 50.0)
        require("cooling_per_water_k", self.cooling_per_water_k, 0.0, 0.1)
        require("cooling_per_air_k", self.cooling_per_air_k, 0.0, 0.1)
        require("carnot_share", self.carnot_share, 0.1, 0.7)
        require("evaporator_approach_k", self.evaporator_approach_k, 1.0, 40.0)
        require("condenser_approach_k", self.condenser_approach_k, 1.0, 40.0)
        require("least_condensing_c", self.least_condensing_c, 0.0, 60.0)
        require("fan_w", self.fan_w, 0.0, 500.0)
        if self.least_air_c is not None:
            require("least_air_c", self.least_air_c, -40.0, 30.0)

    def condensing_c(self, air_c: Values) -> NDArray[np.float64]:
        """Return the condensing temperature. [°C]."""
        warm = np.asarray(air_c, dtype=np.float64) + self.condenser_approach_k
        return np.maximum(warm, self.least_condensing_c)

    def ideal_cop(self, *, water_c: Values, air_c: Values) -> NDArray[np.float64]:
        """Return the COP of an ideal cycle between evaporating and condensing. [-].

        The water may be warmer than the air: the condenser stays at its least temperature, and a
        lift of less than 5 K is taken as 5 K, since no real cycle works on less.
        """
        evaporating = np.asarray(water_c, dtype=np.float64) - self.evaporator_approach_k
        lift = np.maximum(self.condensing_c(air_c) - evaporating, 5.0)
        cop: NDArray[np.float64] = (evaporating + _KELVIN) / lift
        return cop

    def cop(self, *, water_c: Values, air_c: Values) -> NDArray[np.float64]:
        """Return heat taken out over compressor electricity, fan not counted. [-]."""
        return self.carnot_share * self.ideal_cop(water_c=water_c, air_c=air_c)

    def capacity_w(self, air_c: Values) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the heat taken out from water at 0 °C [W], and its slope with water [W K⁻¹].

        Linear in the water temperature about 10 °C, good within a few per cent over 0..20 °C; from
        a rating elsewhere the share gained for each kelvin is compounded to there. Air takes it to
        a tenth at least; it is never below 0 W.
        """
        warmer = self.condensing_c(air_c) - self.condensing_c(self.rated_air_c)
        share = np.maximum(1.0 - self.cooling_per_air_k * warmer, 0.1)
        away_k = RATED_WATER_C - self.rated_water_c
        middle = self.cooling_w * share * math.exp(self.cooling_per_water_k * away_k)
        slope = middle * self.cooling_per_water_k
        return middle - slope * RATED_WATER_C, slope


def evaporator_cautions(chiller: Chiller) -> tuple[str, ...]:
    """Return the keys of the cautions that go with this kind of unit.

    Raises nothing.

    Parameters
    ----------
    chiller
        Kind of evaporator and lowest ambient of its label [°C], -40..30.

    References
    ----------
    Each caution names its own in `resources/energy/cautions.toml`.
    """
    keys: tuple[str, ...] = {
        Evaporator.WALL_COIL: ("evaporator.wall_coil", "evaporator.ice_on_coil"),
        Evaporator.COIL_IN_WATER: ("evaporator.ice_on_coil",),
        Evaporator.FLOW_THROUGH: ("evaporator.no_flow",),
    }[chiller.evaporator]
    if chiller.least_air_c is not None:
        keys += (LOWEST_AMBIENT,)
    return (*keys, "refrigerant.flammable")
