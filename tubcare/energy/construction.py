"""Heat that leaks in through walls, bottom, lid and fittings.

Plane parts follow the sum of resistances of ISO 6946 (U = 1 / (Rsi + sum d/k + Rse)), a round
wall the same with logarithmic layers (e.g. Incropera & DeWitt, ch. 3).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.ranges import require, require_all
from tubcare.errors import InputError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = float | NDArray[np.float64]

_STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8  # CODATA 2018
_KELVIN = 273.15

# A wetted wall: a film of about 200 W/(m2 K); from memory.
WATER_FILM_M2K_W = 0.005
INSIDE_DOWNWARDS_M2K_W = 0.17
OUTSIDE_M2K_W = 0.04
# A deck out of the wind: the film of ISO 6946 at 1 m/s.
OUTSIDE_SHELTERED_M2K_W = 0.08


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A layer of a wall or lid: its thermal resistance. [m² K W⁻¹], over 0..100."""

    resistance_m2k_w: float

    def __post_init__(self) -> None:
        require("resistance_m2k_w", self.resistance_m2k_w, 1e-9, 100.0)


def solid_layer(*, thickness_m: float, conductivity_w_mk: float) -> Layer:
    """Return a solid layer.

    Parameters
    ----------
    thickness_m
        Thickness. [m], 0.0001..1
    conductivity_w_mk
        Thermal conductivity. [W m⁻¹ K⁻¹], 0.005..400

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    ISO 6946:2017, 6.7.1.1: R = d / k.
    """
    require("thickness_m", thickness_m, 1e-4, 1.0)
    require("conductivity_w_mk", conductivity_w_mk, 0.005, 400.0)
    return Layer(resistance_m2k_w=thickness_m / conductivity_w_mk)


def u_value_w_m2k(
    layers: tuple[Layer, ...],
    *,
    inside_m2k_w: float = WATER_FILM_M2K_W,
    outside_m2k_w: float = OUTSIDE_M2K_W,
) -> float:
    """Return the overall heat transfer coefficient of a plane part. [W m⁻² K⁻¹].

    Parameters
    ----------
    layers
        From the water outwards; at least one.
    inside_m2k_w, outside_m2k_w
        Surface resistances. [m² K W⁻¹], 0..1

    Raises
    ------
    InputError
        If there is no layer.
    OutOfRangeError
        If a surface resistance lies outside its range.

    References
    ----------
    ISO 6946:2017, 6.7.1.1.

    Examples
    --------
    >>> foam = solid_layer(thickness_m=0.05, conductivity_w_mk=0.028)
    >>> round(u_value_w_m2k((foam,)), 3)
    0.546
    """
    require("inside_m2k_w", inside_m2k_w, 0.0, 1.0)
    require("outside_m2k_w", outside_m2k_w, 0.0, 1.0)
    if not layers:
        raise InputError("layers", "needs at least one layer")
    return 1.0 / (inside_m2k_w + sum(part.resistance_m2k_w for part in layers) + outside_m2k_w)


@dataclass(frozen=True, slots=True, kw_only=True)
class Films:
    """Heat transfer coefficients at the two faces of a wall. [W m⁻² K⁻¹], 0.5..5000."""

    inside_w_m2k: float
    outside_w_m2k: float

    def __post_init__(self) -> None:
        require("inside_w_m2k", self.inside_w_m2k, 0.5, 5000.0)
        require("outside_w_m2k", self.outside_w_m2k, 0.5, 5000.0)


def cylinder_ua_w_k(
    *, inner_radius_m: float, rings: tuple[tuple[float, float], ...], height_m: float, films: Films
) -> float:
    """Return the leak of a round wall, lid and bottom not counted. [W K⁻¹].

    Parameters
    ----------
    inner_radius_m
        Radius at the water. [m], 0.05..5
    rings
        Thickness [m], 0.0001..1, and conductivity [W m⁻¹ K⁻¹], 0.005..400, of each layer from the
        water outwards.
    height_m
        Wetted height. [m], 0.05..5
    films
        Heat transfer at both faces.

    Raises
    ------
    InputError
        If there is no ring.
    OutOfRangeError
        If an input lies outside its range.

    Notes
    -----
    UA = 2 pi H / (1/(h_i r_i) + sum ln(r_out/r_in)/k + 1/(h_o r_o)).

    References
    ----------
    Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 3.
    """
    require("inner_radius_m", inner_radius_m, 0.05, 5.0)
    require("height_m", height_m, 0.05, 5.0)
    if not rings:
        raise InputError("rings", "needs at least one layer")
    radius_m = inner_radius_m
    resistance = 1.0 / (films.inside_w_m2k * radius_m)
    for thickness_m, conductivity_w_mk in rings:
        require("thickness_m", thickness_m, 1e-4, 1.0)
        require("conductivity_w_mk", conductivity_w_mk, 0.005, 400.0)
        resistance += math.log((radius_m + thickness_m) / radius_m) / conductivity_w_mk
        radius_m += thickness_m
    resistance += 1.0 / (films.outside_w_m2k * radius_m)
    return 2.0 * math.pi * height_m / resistance


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideFilm:
    """Heat transfer at an outer surface by moving air and by radiation. [W m⁻² K⁻¹]."""

    convective_w_m2k: Values
    radiative_w_m2k: float

    @property
    def w_m2k(self) -> Values:
        """Both together. [W m⁻² K⁻¹]."""
        return self.convective_w_m2k + self.radiative_w_m2k


def outside_film(
    *, wind_m_s: Values, mean_c: float = 10.0, emissivity: float = 0.9
) -> OutsideFilm:
    """Return the film at an outer surface in wind.

    Parameters
    ----------
    wind_m_s
        Wind at the surface; float or array. [m s⁻¹], 0..60
    mean_c
        Mean of surface and surroundings. [°C], -60..60
    emissivity
        Long-wave emissivity of the surface. [-], 0..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    ISO 6946:2017, annex C: h_c = 4 + 4 v, h_r = 4 eps sigma T_m^3 (from memory; at 4 m/s it gives
    the tabulated 0.04 m² K/W).
    """
    require_all("wind_m_s", wind_m_s, 0.0, 60.0)
    require("mean_c", mean_c, -60.0, 60.0)
    require("emissivity", emissivity, 0.0, 1.0)
    radiative = 4.0 * emissivity * _STEFAN_BOLTZMANN_W_M2K4 * (mean_c + _KELVIN) ** 3
    return OutsideFilm(convective_w_m2k=4.0 + 4.0 * wind_m_s, radiative_w_m2k=radiative)
