"""How much one dip warms the water: an estimate about the water, never about a person."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tubcare.energy.ranges import require

# Own default between the estimates below; the range is what the estimate can be off.
DIP_KJ = 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tissue:
    """Properties of the body surface taken for the estimate; from memory.

    `area_m2` 0..20 [m²]; `conductivity_w_mk` 0.05..2 [W m⁻¹ K⁻¹]; `diffusivity_m2_s` 1e-8..1e-6.
    [m² s⁻¹]
    """

    area_m2: float = 1.7
    conductivity_w_mk: float = 0.45
    diffusivity_m2_s: float = 1.2e-7

    def __post_init__(self) -> None:
        require("area_m2", self.area_m2, 0.0, 20.0)
        require("conductivity_w_mk", self.conductivity_w_mk, 0.05, 2.0)
        require("diffusivity_m2_s", self.diffusivity_m2_s, 1e-8, 1e-6)


def scaled_erfc(x: float) -> float:
    """Return exp(x²) erfc(x) for x at least 0 [-], without overflow.

    Parameters
    ----------
    x
        At least 0; for 20 and more by its asymptotic series, good to 1e-9. [-], 0..1e9

    Raises
    ------
    OutOfRangeError
        If `x` lies outside its range.

    References
    ----------
    Abramowitz & Stegun, Handbook of Mathematical Functions, 7.1.23.
    """
    require("x", x, 0.0, 1e9)
    if x < 20.0:
        return math.exp(x * x) * math.erfc(x)
    inverse = 1.0 / (2.0 * x * x)
    return (1.0 - inverse + 3.0 * inverse**2 - 15.0 * inverse**3) / (x * math.sqrt(math.pi))


def dip_heat_j(
    *, film_w_m2k: float, difference_k: float, duration_s: float, tissue: Tissue
) -> float:
    """Return the heat that one dip leaves in the water. [J].

    Parameters
    ----------
    film_w_m2k
        Heat transfer at the skin. [W m⁻² K⁻¹], 1..1000
    difference_k
        Between skin and water at first. [K], 0..45
    duration_s
        How long it lasts. [s], 0..7200
    tissue
        Properties taken for the estimate.

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, 2.7: half-space with a surface
    film, integrated over time. No blood flow, so it is an engineering estimate of water warming.
    """
    require("film_w_m2k", film_w_m2k, 1.0, 1000.0)
    require("difference_k", difference_k, 0.0, 45.0)
    require("duration_s", duration_s, 0.0, 7200.0)
    k = tissue.conductivity_w_mk
    b = film_w_m2k * math.sqrt(tissue.diffusivity_m2_s * duration_s) / k
    shape = scaled_erfc(b) - 1.0 + 2.0 * b / math.sqrt(math.pi)
    scale = tissue.area_m2 * difference_k * k**2 / (film_w_m2k * tissue.diffusivity_m2_s)
    return scale * shape
