"""Density, heat capacity and conductivity of liquid water at 0.1 MPa.

Source: IAPWS SR6-08(2011), Revised Supplementary Release on Properties of Liquid Water at
0.1 MPa, eqs. 2, 5 and 8 with tables 1 to 3. The release holds from 253.15 to 383.15 K; this module
takes 0..60 °C. Within that range it meets IAPWS-95 to 1e-5 in density and 1e-4 in heat capacity.
"""

from __future__ import annotations

import math

from tubcare.energy.ranges import require

KELVIN = 273.15

_GAS_CONSTANT_J_KG_K = 461.51805
_REFERENCE_K = 10.0
_PRESSURE_PA = 1e5

# (coefficient, exponent) pairs of the release: alpha = 10 / (593 - T), beta = 10 / (T - 232).
_ENERGY_ALPHA = ((-1.661470539e5, 4), (2.708781640e6, 5), (-1.557191544e8, 7))
_ENERGY_BETA = ((-8.237426256e-1, 2), (1.908956353, 3), (-2.017597384, 4), (8.546361348e-1, 5))
_ENERGY_TAU_LOG_TAU = -8.983025854
_VOLUME_CONSTANT = 1.93763157e-2
_VOLUME_ALPHA = (
    (6.74458446e3, 4),
    (-2.22521604e5, 5),
    (1.00231247e8, 7),
    (-1.63552118e9, 8),
    (8.32299658e9, 9),
)
_VOLUME_BETA = (
    (5.78545292e-3, 1),
    (-1.53195665e-2, 2),
    (3.11337859e-2, 3),
    (-4.23546241e-2, 4),
    (3.38713507e-2, 5),
    (-1.19946761e-2, 6),
)
_CONDUCTIVITY = ((1.6630, -1.15), (-1.7781, -3.4), (1.1567, -6.0), (-0.432115, -7.6))

# Latent heat of fusion, density and conductivity of ice near 0 °C: G. D. Ashton, "Lake ice",
# Encyclopaedia Britannica.
FUSION_J_KG = 3.34e5
ICE_DENSITY_KG_M3 = 916.0
ICE_CONDUCTIVITY_W_MK = 2.24


def _scaled(water_c: float) -> tuple[float, float, float]:
    require("water_c", water_c, 0.0, 60.0)
    kelvin = water_c + KELVIN
    return kelvin / _REFERENCE_K, _REFERENCE_K / (593.0 - kelvin), _REFERENCE_K / (kelvin - 232.0)


def density_kg_m3(water_c: float) -> float:
    """Return the density of water. [kg m⁻³].

    Parameters
    ----------
    water_c
        Temperature. [°C], 0..60

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside its range.

    References
    ----------
    IAPWS SR6-08(2011), eq. 2.
    """
    _, alpha, beta = _scaled(water_c)
    reduced = _VOLUME_CONSTANT + sum(a * alpha**n for a, n in _VOLUME_ALPHA)
    reduced += sum(b * beta**m for b, m in _VOLUME_BETA)
    return _PRESSURE_PA / (_GAS_CONSTANT_J_KG_K * _REFERENCE_K * reduced)


def specific_heat_j_kg_k(water_c: float) -> float:
    """Return the isobaric heat capacity of water. [J kg⁻¹ K⁻¹].

    Parameters
    ----------
    water_c
        Temperature. [°C], 0..60

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside its range.

    References
    ----------
    IAPWS SR6-08(2011), eq. 5.
    """
    tau, alpha, beta = _scaled(water_c)
    reduced = sum(n * (n + 1) * a * alpha ** (n + 2) for a, n in _ENERGY_ALPHA)
    reduced += sum(m * (m + 1) * b * beta ** (m + 2) for b, m in _ENERGY_BETA)
    return -_GAS_CONSTANT_J_KG_K * (_ENERGY_TAU_LOG_TAU + tau * reduced)


def conductivity_w_mk(water_c: float) -> float:
    """Return the thermal conductivity of water. [W m⁻¹ K⁻¹].

    Parameters
    ----------
    water_c
        Temperature. [°C], 0..60

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside its range.

    References
    ----------
    IAPWS SR6-08(2011), eq. 8.
    """
    require("water_c", water_c, 0.0, 60.0)
    reduced = (water_c + KELVIN) / 300.0
    return math.fsum(c * math.pow(reduced, d) for c, d in _CONDUCTIVITY)


def volumetric_heat_j_l_k(water_c: float) -> float:
    """Return density times heat capacity of water. [J L⁻¹ K⁻¹], 0..60 °C.

    Parameters
    ----------
    water_c
        Temperature. [°C], 0..60

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside its range.

    References
    ----------
    IAPWS SR6-08(2011), eqs. 2 and 5.
    """
    return density_kg_m3(water_c) * specific_heat_j_kg_k(water_c) / 1000.0


def heat_capacity_j_k(*, volume_l: float, water_c: float) -> float:
    """Return the heat capacity of a tub's water. [J K⁻¹].

    Parameters
    ----------
    volume_l
        Water in the tub. [L], 20..20000: an unknown volume cannot be guessed
    water_c
        Temperature near which the tub is held. [°C], 0..60

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    IAPWS SR6-08(2011), eqs. 2 and 5.
    """
    require("volume_l", volume_l, 20.0, 20000.0)
    return volume_l * volumetric_heat_j_l_k(water_c)
