"""Equilibrium constants between 0 and 35 °C, at infinite dilution.

Each is given as pK = -log10 K from the fit of its authors; T in kelvin. The same functions take
one temperature or an array of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Generic

from tubcare.errors import OutOfRangeError
from tubcare.water.number import Number

LOWEST_C = 0.0
HIGHEST_C = 35.0
ZERO_C_K = 273.15
# Wahman 2018 and Wahman & Alexander 2019 measured at 5-35 °C.
CYANURATE_LOWEST_C = 5.0


class CyanurateSet(StrEnum):
    """Whose constants bind chlorine to cyanurate."""

    WAHMAN = "wahman"
    OBRIEN = "obrien"


@dataclass(frozen=True, slots=True, kw_only=True)
class Constants(Generic[Number]):
    """Equilibrium constants at one temperature (or one array of them), on the activity scale.

    Attributes
    ----------
    k1, k2
        First and second dissociation of carbonic acid. [mol/L]
    kh
        Henry constant of CO2. [mol/(L atm)]
    kw
        Ion product of water. [mol²/L²]
    pks
        Minus log10 of the solubility product of calcite. [-]
    k_cahco3, k_caco3
        Stability of the pairs CaHCO3+ and CaCO3(aq). [L/mol]
    k_hocl, k_hobr, k_boric
        Dissociation of hypochlorous, hypobromous and boric acid. [mol/L]
    k_cy6
        H3Cy = H+ + H2Cy-. [mol/L]
    k_cy9, k_cy7
        HClCy- + H2O = H2Cy- + HOCl and Cl2Cy- + H2O = HClCy- + HOCl. [mol/L]
    k_nahco3, k_naco3
        Stability of the pairs NaHCO3(aq) and NaCO3-. [L/mol]
    debye_a, debye_b
        Slope A [(L/mol)^0.5] and reach B [(L/mol)^0.5 / Å] of the Debye-Hückel theory.
    """

    k1: Number
    k2: Number
    kh: Number
    kw: Number
    pks: Number
    k_cahco3: Number
    k_caco3: Number
    k_hocl: Number
    k_hobr: Number
    k_boric: Number
    k_cy6: Number
    k_cy9: Number
    k_cy7: Number
    k_nahco3: Number
    k_naco3: Number
    debye_a: Number
    debye_b: Number


def check_temperature(name: str, water_c: float) -> None:
    """Raise OutOfRangeError unless `water_c` lies in 0..35 °C (and is a number)."""
    if not LOWEST_C <= water_c <= HIGHEST_C:
        raise OutOfRangeError(name, water_c, LOWEST_C, HIGHEST_C)


def constants_at(
    water_c: float, *, cyanurate: CyanurateSet = CyanurateSet.WAHMAN
) -> Constants[float]:
    """Return the equilibrium constants of water at `water_c` [°C], 0..35.

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside 0..35 °C.

    References
    ----------
    See `constants_from_kelvin`.
    """
    check_temperature("water_c", water_c)
    t_k = water_c + ZERO_C_K
    return constants_from_kelvin(t_k, math.log10(t_k), cyanurate)


def constants_from_kelvin(
    t_k: Number, log_t: Number, cyanurate: CyanurateSet = CyanurateSet.WAHMAN
) -> Constants[Number]:
    """Return the constants at `t_k` [K], given also log10 of it; no range check.

    References
    ----------
    Carbonate, calcite, calcium pairs, Henry: Plummer & Busenberg 1982, Geochim. Cosmochim. Acta
    46:1011.
    Sodium pairs: log K -0.25 and 1.27 at 25 °C, enthalpies -1.0 and 8.91 kcal/mol (phreeqc.dat,
    Parkhurst & Appelo 2013). Water and permittivity: Standard Methods 2330 B, A = 1.82e6
    (E T)^-1.5; B = 50.29 (E T)^-0.5, Robinson & Stokes, Electrolyte Solutions (from memory).
    HOCl: Morris 1966, J. Phys. Chem. 70:3798.
    Cyanurate: Wahman 2018, Environ. Sci.: Water Res. Technol. 4:1522; Wahman & Alexander 2019,
    Environ. Eng. Sci. 36:283; O'Brien, Morris & Butler 1974 (25 °C), carried to other
    temperatures with the enthalpies of the former (own choice).
    Boric acid: Manov, DeLollis & Acree 1944, J. Res. NBS 33:287 (from memory). HOBr: 8.65 at
    25 °C and about 8.9 at 5 °C, Haag & Hoigné 1983 (from memory).
    """
    pk6, pk9, pk7 = _cyanurate_pk(t_k, cyanurate)
    permittivity_t = (60954.0 / (t_k + 116.0) - 68.937) * t_k
    inverse_t = 1.0 / t_k
    inverse_t2 = inverse_t * inverse_t
    return Constants(
        k1=10.0
        ** -(
            356.3094
            + 0.06091964 * t_k
            - 21834.37 * inverse_t
            - 126.8339 * log_t
            + 1684915.0 * inverse_t2
        ),
        k2=10.0
        ** -(
            107.8871
            + 0.03252849 * t_k
            - 5151.79 * inverse_t
            - 38.92561 * log_t
            + 563713.9 * inverse_t2
        ),
        kh=10.0
        ** (
            108.3865
            + 0.01985076 * t_k
            - 6919.53 * inverse_t
            - 40.45154 * log_t
            + 669365.0 * inverse_t2
        ),
        kw=10.0 ** -(4471.0 * inverse_t + 0.01706 * t_k - 6.0875),
        pks=171.9065 + 0.077993 * t_k - 2839.319 * inverse_t - 71.595 * log_t,
        k_cahco3=10.0 ** (1209.120 + 0.31294 * t_k - 34765.05 * inverse_t - 478.782 * log_t),
        k_caco3=10.0 ** (-1228.732 - 0.299440 * t_k + 35512.75 * inverse_t + 485.818 * log_t),
        k_hocl=10.0 ** -(3000.0 * inverse_t - 10.0686 + 0.0253 * t_k),
        k_hobr=10.0 ** -(1036.7 * inverse_t + 5.173),
        k_boric=10.0 ** -(2237.94 * inverse_t + 0.016883 * t_k - 3.305),
        k_cy6=10.0**-pk6,
        k_cy9=10.0**-pk9,
        k_cy7=10.0**-pk7,
        k_nahco3=10.0 ** (-0.98 + 218.56 * inverse_t),
        k_naco3=10.0 ** (7.80 - 1947.3 * inverse_t),
        debye_a=1.82e6 * permittivity_t**-1.5,
        debye_b=50.29 * permittivity_t**-0.5,
    )


def _cyanurate_pk(t_k: Number, cyanurate: CyanurateSet) -> tuple[Number, Number, Number]:
    """Return pK6, pK9a and pK7a."""
    if cyanurate is CyanurateSet.WAHMAN:
        return 1743.0 / t_k + 1.12, 2229.0 / t_k - 1.65, 2028.0 / t_k - 2.15
    # The pK of 1974 at 25 °C: 6.88, 5.62, 4.51.
    return 1743.0 / t_k + 1.0339, 2229.0 / t_k - 1.8562, 2028.0 / t_k - 2.2920
