"""A tub as the energy engine sees it: water, walls, chiller, pump and how it is used."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tubcare.energy.bather import DIP_KJ
from tubcare.energy.ranges import require
from tubcare.energy.water_properties import heat_capacity_j_k

if TYPE_CHECKING:
    from tubcare.energy.chiller import Chiller
    from tubcare.energy.envelope import Envelope
    from tubcare.energy.hourly_load import Thermostat


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """The circulation pump.

    Parameters
    ----------
    power_w
        Drawn while it runs. [W], 0..5000
    heat_share
        Share of it that ends in the water. [-], 0..1; wet rotors high, dry motors lower; 1 is
        conservative (from memory)
    hours_per_day
        How long it runs each day, in one block. [h], 0..24
    first_hour
        Local hour at which the block begins. 0..23
    """

    power_w: float = 40.0
    heat_share: float = 1.0
    hours_per_day: float = 24.0
    first_hour: int = 8

    def __post_init__(self) -> None:
        require("power_w", self.power_w, 0.0, 5000.0)
        require("heat_share", self.heat_share, 0.0, 1.0)
        require("hours_per_day", self.hours_per_day, 0.0, 24.0)
        require("first_hour", self.first_hour, 0, 23)

    def share_by_hour(self) -> tuple[float, ...]:
        """Return the share of each local hour of the day during which it runs. [-]."""
        shares = [0.0] * 24
        for number in range(24):
            left = min(1.0, max(0.0, self.hours_per_day - number))
            shares[(self.first_hour + number) % 24] = left
        return tuple(shares)


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Dips of an ordinary day.

    Parameters
    ----------
    dips_per_day
        How many. [-], 0..100
    hour
        Local hour in which they fall. 0..23
    open_minutes
        How long the lid is off for each. [min], 0..60
    dip_kj
        Heat that one leaves in the water. [kJ], 0..5000; estimates run from 200 to 1200
    """

    dips_per_day: float = 1.0
    hour: int = 7
    open_minutes: float = 10.0
    dip_kj: float = DIP_KJ

    def __post_init__(self) -> None:
        require("dips_per_day", self.dips_per_day, 0.0, 100.0)
        require("hour", self.hour, 0, 23)
        require("open_minutes", self.open_minutes, 0.0, 60.0)
        require("dip_kj", self.dip_kj, 0.0, 5000.0)

    def open_share_by_hour(self) -> tuple[float, ...]:
        """Return the share of each local hour of the day with the lid off. [-]."""
        shares = [0.0] * 24
        left_h = self.dips_per_day * self.open_minutes / 60.0
        number = 0
        while left_h > 0.0 and number < 24:
            shares[(self.hour + number) % 24] = min(1.0, left_h)
            left_h -= 1.0
            number += 1
        return tuple(shares)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tub:
    """Everything that decides what the cold costs, weather and prices apart.

    Parameters
    ----------
    volume_l
        Water in the tub. [L], 20..20000
    envelope
        Walls, bottom, bridges and lid.
    chiller, pump, thermostat, use
        As named.
    wind_share
        Wind at the tub over wind in the weather data, measured at 10 m. [-], 0..1; from memory
    resting
        The chiller is off for the time being: only the pump draws power.
    """

    volume_l: float
    envelope: Envelope
    chiller: Chiller
    thermostat: Thermostat
    pump: Pump = field(default_factory=Pump)
    use: Use = field(default_factory=Use)
    wind_share: float = 0.4
    resting: bool = False

    def __post_init__(self) -> None:
        require("volume_l", self.volume_l, 20.0, 20000.0)
        require("wind_share", self.wind_share, 0.0, 1.0)

    @property
    def heat_capacity_j_k(self) -> float:
        """Heat capacity of the water at the set point. [J K⁻¹]."""
        return heat_capacity_j_k(volume_l=self.volume_l, water_c=self.thermostat.set_point_c)
