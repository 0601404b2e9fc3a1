"""Where the sun stands, and how much of it reaches the ground under a clear sky."""

from __future__ import annotations

import math

from tubcare.energy.ranges import require

# Sunshine over a season as a share of a clear sky's: 0.70 in Helsinki and 0.68 in Stockholm, from
# their typical years April to October over mid-month clear days (own computation).
USUAL_CLEAR_SHARE = 0.69


def clear_sky_w_m2(*, latitude_deg: float, day_of_year: int, solar_hour: float) -> float:
    """Return the global horizontal sunshine under a clear sky. [W m⁻²].

    Parameters
    ----------
    latitude_deg
        Positive in the north. [°], -90..90
    day_of_year
        1 January is 1. [d], 1..366
    solar_hour
        Time with the sun highest at 12. [h], 0..24

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Sunshine: B. Haurwitz, J. Meteorology 2 (1945), 154, with the coefficients of 1946: 1098 cos z
    exp(-0.057 / cos z). Declination: P. I. Cooper, Solar Energy 12 (1969), 333.
    """
    require("latitude_deg", latitude_deg, -90.0, 90.0)
    require("day_of_year", day_of_year, 1, 366)
    require("solar_hour", solar_hour, 0.0, 24.0)
    declination = math.radians(23.45) * math.sin(2.0 * math.pi * (284 + day_of_year) / 365.0)
    latitude = math.radians(latitude_deg)
    angle = math.radians(15.0 * (solar_hour - 12.0))
    height = math.sin(latitude) * math.sin(declination)
    height += math.cos(latitude) * math.cos(declination) * math.cos(angle)
    if height <= 0.001:
        return 0.0
    return 1098.0 * height * math.exp(-0.057 / height)
