"""Handbook forms of the saturation index, to check the full balance against.

In the cold they are biased: the factor table reads 0.2-0.6 lower than thermodynamics at 0-15 °C.
So nothing in the product decides by them.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import TYPE_CHECKING, Final

from tubcare.errors import OutOfRangeError
from tubcare.water.activity import log_gamma_monovalent
from tubcare.water.equilibria import ZERO_C_K, constants_at
from tubcare.water.masses import ALKALINITY_EQUIVALENT, CALCIUM_CARBONATE

if TYPE_CHECKING:
    from tubcare.water.reading import WaterTest

# Administrative Rules of Montana 37.115, Table 7 (public pools): °F, mg/L, mg/L as CaCO3.
_TEMPERATURE_FACTORS: Final = (
    (32.0, 0.0),
    (37.0, 0.1),
    (46.0, 0.2),
    (53.0, 0.3),
    (60.0, 0.4),
    (66.0, 0.5),
    (76.0, 0.6),
    (84.0, 0.7),
    (94.0, 0.8),
    (105.0, 0.9),
    (128.0, 1.0),
)
_CALCIUM_FACTORS: Final = (
    (5.0, 0.3),
    (25.0, 1.0),
    (50.0, 1.3),
    (75.0, 1.5),
    (100.0, 1.6),
    (150.0, 1.8),
    (200.0, 1.9),
    (300.0, 2.1),
    (400.0, 2.2),
    (800.0, 2.5),
    (1000.0, 2.6),
)
_ALKALINITY_FACTORS: Final = (
    (5.0, 0.7),
    (25.0, 1.4),
    (50.0, 1.7),
    (75.0, 1.9),
    (100.0, 2.0),
    (150.0, 2.2),
    (200.0, 2.3),
    (300.0, 2.5),
    (400.0, 2.6),
    (800.0, 2.9),
    (1000.0, 3.0),
)
_SALTY_MG_L = 1000.0


def factor_table_index(test: WaterTest) -> float:
    """Return the saturation index of the factor table: pH + TF + CF + AF - 12.1 (or - 12.2).

    Raises
    ------
    OutOfRangeError
        If a value lies off the table (hardness and alkalinity 5..1000 mg/L).

    References
    ----------
    Administrative Rules of Montana 37.115, Table 7. Temperatures in °F there.
    """
    return factor_table_value(
        ph=test.ph,
        water_f=test.water_c * 1.8 + 32.0,
        calcium_mg_l=test.calcium_mg_l,
        alkalinity_mg_l=test.alkalinity_mg_l,
        tds_mg_l=test.tds_mg_l or 0.0,
    )


def factor_table_value(
    *,
    ph: float,
    water_f: float,
    calcium_mg_l: float,
    alkalinity_mg_l: float,
    tds_mg_l: float,
) -> float:
    """Return the factor-table index from bare numbers; temperature in °F, 32..128."""
    constant = 12.2 if tds_mg_l > _SALTY_MG_L else 12.1
    return (
        ph
        + _factor("water_f", _TEMPERATURE_FACTORS, water_f)
        + _factor("calcium_mg_l", _CALCIUM_FACTORS, calcium_mg_l)
        + _factor("alkalinity_mg_l", _ALKALINITY_FACTORS, alkalinity_mg_l)
        - constant
    )


def _factor(name: str, table: tuple[tuple[float, float], ...], value: float) -> float:
    """Return the factor of a value, between the rows."""
    low, high = table[0][0], table[-1][0]
    if not low <= value <= high:
        raise OutOfRangeError(name, value, low, high)
    place = min(bisect_right(table, (value, math.inf)), len(table) - 1)
    (x0, y0), (x1, y1) = table[place - 1], table[place]
    share = (value - x0) / (x1 - x0)
    return y0 + share * (y1 - y0)


def short_form_ph(
    *, water_c: float, calcium_mg_l: float, alkalinity_mg_l: float, tds_mg_l: float
) -> float:
    """Return the saturation pH of the short form, pHs = 9.3 + A + B - (C + D).

    Parameters
    ----------
    water_c
        [°C], 0..95
    calcium_mg_l, alkalinity_mg_l
        As CaCO3. [mg/L], 1..2500
    tds_mg_l
        [mg/L], 10..10000

    References
    ----------
    Cooling-water handbooks after Langelier 1936: A = (log TDS - 1)/10, B = 34.55 - 13.12 log T,
    C = log Ca - 0.4, D = log alkalinity.
    """
    a = (math.log10(tds_mg_l) - 1.0) / 10.0
    b = 34.55 - 13.12 * math.log10(water_c + ZERO_C_K)
    return 9.3 + a + b - (math.log10(calcium_mg_l) - 0.4) - math.log10(alkalinity_mg_l)


def short_form_index(test: WaterTest) -> float:
    """Return the saturation index of the short form, for a test whose TDS is known."""
    if test.tds_mg_l is None:
        raise OutOfRangeError("tds_mg_l", math.nan, 10.0, 10_000.0)
    return test.ph - short_form_ph(
        water_c=test.water_c,
        calcium_mg_l=test.calcium_mg_l,
        alkalinity_mg_l=test.alkalinity_mg_l,
        tds_mg_l=test.tds_mg_l,
    )


def standard_methods_index(test: WaterTest) -> float:
    """Return the index by Standard Methods 2330 B as printed: I from TDS, no ion pairs.

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 2330 B.
    """
    constants = constants_at(test.water_c)
    # 2330 B takes TDS/40000; 8-75 % too high where most of the TDS is common salt.
    strength = (test.tds_mg_l or 0.0) / 40_000.0
    pfm = -log_gamma_monovalent(constants.debye_a, strength)
    pk2 = -math.log10(constants.k2)
    pkw = -math.log10(constants.kw)
    alkalinity = test.alkalinity_mg_l / ALKALINITY_EQUIVALENT * 1e-3
    bicarbonate = (alkalinity + 10.0 ** (pfm - test.ph) - 10.0 ** (test.ph + pfm - pkw)) / (
        1.0 + 0.5 * 10.0 ** (test.ph - pk2)
    )
    calcium = test.calcium_mg_l / CALCIUM_CARBONATE * 1e-3
    if bicarbonate <= 0.0 or calcium <= 0.0:
        return -math.inf
    saturation_ph = pk2 - constants.pks - math.log10(calcium) - math.log10(bicarbonate) + 5.0 * pfm
    return test.ph - saturation_ph
