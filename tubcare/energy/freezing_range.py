"""How far the hours until freezing may be off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.energy.freezing import part_freeze
from tubcare.energy.power_cut import HOSE, PUMP_BODY, if_power_fails
from tubcare.energy.uncertainty import Estimate, estimate

if TYPE_CHECKING:
    from tubcare.energy.freezing import Freeze, StillPart
    from tubcare.energy.power_cut import PowerCut
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Spread

# Heat transfer to the air of a still part, in a wind and sheltered from it: from memory.
_WINDY_W_M2K, _SHELTERED_W_M2K = 25.0, 7.0


def power_cut(tub: Tub, spread: Spread, *, water_c: float, air_c: float) -> PowerCut:
    """Return how many hours hose, pump and tub have if the power fails, with ranges. [h].

    Parameters
    ----------
    tub
        As described or calibrated.
    spread
        What is not known about it: its leak decides over the range of the tub. Wind decides over
        that of hose and pump, which are taken as usual and bare.
    water_c
        Water temperature. [°C], 0..40
    air_c
        Air temperature that is expected. [°C], -60..40

    Raises
    ------
    OutOfRangeError
        If a temperature lies outside its range.

    References
    ----------
    As `if_power_fails` and `estimate`; film of 7 to 25 W/(m² K): from memory.
    """
    cut = if_power_fails(tub, water_c=water_c, air_c=air_c)
    if cut.tub.to_zero_h is None:
        return cut

    def to_zero_h(changed: Tub) -> tuple[float, ...]:
        return (if_power_fails(changed, water_c=water_c, air_c=air_c).tub.to_zero_h or 0.0,)

    (tub_range,) = estimate(tub, spread, to_zero_h)
    return replace(
        cut,
        hose=_in_any_wind(cut.hose, HOSE, water_c, air_c),
        pump=_in_any_wind(cut.pump, PUMP_BODY, water_c, air_c),
        tub=replace(cut.tub, zero_range=replace(tub_range, low=max(tub_range.low, 0.0))),
    )


def _in_any_wind(found: Freeze, part: StillPart, water_c: float, air_c: float) -> Freeze:
    low, high = (
        part_freeze(replace(part, film_w_m2k=film), start_c=water_c, air_c=air_c).to_zero_h
        for film in (_WINDY_W_M2K, _SHELTERED_W_M2K)
    )
    if found.to_zero_h is None or low is None or high is None:
        return found
    return replace(found, zero_range=Estimate(value=found.to_zero_h, low=low, high=high))
