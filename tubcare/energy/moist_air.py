"""Vapour pressure, dew point, and the latent heat that an open surface exchanges with the air.

Accepts floats or float64 arrays. Temperatures in [°C], pressures in [Pa].
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require_all

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = float | NDArray[np.float64]

_KELVIN = 273.15
_TRIPLE_POINT_C = 0.01
# Hyland & Wexler 1983, as eqs. 5 (over ice) and 6 (over water) of ASHRAE Fundamentals 2017, ch. 1:
# 1/T, 1, T, T^2, T^3, T^4, ln T.
_OVER_ICE = (
    -5.6745359e3,
    6.3925247,
    -9.677843e-3,
    6.2215701e-7,
    2.0747825e-9,
    -9.484024e-13,
    4.1635019,
)
_OVER_WATER = (
    -5.8002206e3,
    1.3914993,
    -4.8640239e-2,
    4.1764768e-5,
    -1.4452093e-8,
    0.0,
    6.5459673,
)


def _log_pressure(kelvin: NDArray[np.float64], c: tuple[float, ...]) -> NDArray[np.float64]:
    powers = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
    total: NDArray[np.float64] = c[0] / kelvin + powers + c[6] * np.log(kelvin)
    return total


def saturation_pa(temperature_c: Values) -> NDArray[np.float64]:
    """Return the saturation pressure of water vapour, over ice below the triple point. [Pa].

    Parameters
    ----------
    temperature_c
        Temperature. [°C], -100..100

    Raises
    ------
    OutOfRangeError
        If a temperature lies outside its range or is missing.

    References
    ----------
    ASHRAE Handbook Fundamentals 2017, ch. 1, eqs. 5 and 6 (Hyland & Wexler 1983).
    """
    require_all("temperature_c", temperature_c, -100.0, 100.0)
    celsius = np.asarray(temperature_c, dtype=np.float64)
    kelvin = celsius + _KELVIN
    ice, water = _log_pressure(kelvin, _OVER_ICE), _log_pressure(kelvin, _OVER_WATER)
    pressure: NDArray[np.float64] = np.exp(np.where(celsius <= _TRIPLE_POINT_C, ice, water))
    return pressure


def vapour_pa(air_c: Values, humidity: Values) -> NDArray[np.float64]:
    """Return the vapour pressure of air at relative `humidity` 0..1. [Pa].

    Parameters
    ----------
    air_c
        Temperature. [°C], -100..100
    humidity
        Relative humidity. [-], 0..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range or is missing.

    References
    ----------
    ASHRAE Handbook Fundamentals 2017, ch. 1: p = phi p_sat.
    """
    require_all("humidity", humidity, 0.0, 1.0)
    return saturation_pa(air_c) * humidity


def dew_point_c(air_c: float, humidity: float) -> float:
    """Return the dew point (below 0.01 °C the frost point). [°C].

    Parameters
    ----------
    air_c
        Air temperature. [°C], -60..60
    humidity
        Relative humidity. [-], 0.001..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    Notes
    -----
    Inverts `saturation_pa` by bisection to 1e-9 K: the curve has a kink at the triple point.

    References
    ----------
    As `saturation_pa`.
    """
    require_all("air_c", air_c, -60.0, 60.0)
    require_all("humidity", humidity, 0.001, 1.0)
    wanted = float(vapour_pa(air_c, humidity))
    low, high = -100.0, air_c
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        if float(saturation_pa(middle)) < wanted:
            low = middle
        else:
            high = middle
    return high


def exchange_w_m2_pa(wind_m_s: Values) -> Values:
    """Return the latent heat that leaves per pascal of vapour pressure. [W m⁻² Pa⁻¹].

    Parameters
    ----------
    wind_m_s
        Air speed over the surface. [m s⁻¹], 0..10

    Raises
    ------
    OutOfRangeError
        If the wind lies outside its range.

    References
    ----------
    Carrier 1918, in the form of ASHRAE Handbook HVAC Applications (from memory): 0.089 + 0.0782 V,
    made for evaporation; for condensation take it as good to 30 %.
    """
    require_all("wind_m_s", wind_m_s, 0.0, 10.0)
    return 0.089 + 0.0782 * wind_m_s
