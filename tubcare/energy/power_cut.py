"""What freezes when, if the power fails."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.freezing import StillPart, part_freeze, tub_freeze
from tubcare.energy.lumped import LumpedBody
from tubcare.energy.water_properties import volumetric_heat_j_l_k

if TYPE_CHECKING:
    from tubcare.energy.freezing import Freeze
    from tubcare.energy.tub import Tub


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerCut:
    """What freezes when, if the power fails at a given air temperature."""

    hose: Freeze
    pump: Freeze
    tub: Freeze


# Own choice of ordinary parts: a garden-size hose and the body of a small pump.
HOSE = StillPart(inner_diameter_m=0.019)
PUMP_BODY = StillPart(inner_diameter_m=0.1)


def if_power_fails(
    tub: Tub,
    *,
    water_c: float,
    air_c: float,
    hose: StillPart = HOSE,
    pump: StillPart = PUMP_BODY,
    ice_share: float = 0.1,
) -> PowerCut:
    """Return how many hours hose, pump and tub have if the power fails now.

    Parameters
    ----------
    tub
        Its leaks decide over the tub.
    water_c
        Water temperature. [°C], 0..40
    air_c
        Air temperature that is expected. [°C], -60..40
    hose, pump
        The parts that hold still water.
    ice_share
        Share of the tub's mass that counts as ice. [-], 0..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    As `tub_freeze` and `part_freeze`; hose and pump body: own choice of ordinary parts.
    """
    body = LumpedBody(
        heat_capacity_j_k=tub.volume_l * volumetric_heat_j_l_k(water_c / 2.0),
        ua_w_k=tub.envelope.ua_w_k(),
        air_c=air_c,
    )
    return PowerCut(
        hose=part_freeze(hose, start_c=water_c, air_c=air_c),
        pump=part_freeze(pump, start_c=water_c, air_c=air_c),
        tub=tub_freeze(body, volume_l=tub.volume_l, start_c=water_c, ice_share=ice_share),
    )
