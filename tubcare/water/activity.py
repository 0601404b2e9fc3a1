"""Activity coefficients of the dissolved ions, and ionic strength.

The ions that carry the balance follow Truesdell & Jones 1974, which keeps to measured waters up to
brackish; sanitiser, cyanurate and borate, for which no such sizes are published, follow Davies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic

from tubcare.water.number import Number

# Davies 1962, Ion Association: holds to an ionic strength of 0.5 mol/L.
HIGHEST_IONIC_STRENGTH = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Activities(Generic[Number]):
    """Activity coefficients. All [-]; `monovalent` is Davies, `neutral` of what has no charge."""

    hydrogen: Number
    hydroxide: Number
    bicarbonate: Number
    carbonate: Number
    calcium: Number
    calcium_bicarbonate: Number
    sodium: Number
    monovalent: Number
    neutral: Number


def log_gamma_monovalent(debye_a: Number, ionic_strength: Number) -> Number:
    """Return log10 of the activity coefficient of an ion of charge 1; charge z takes z² times it.

    Parameters
    ----------
    debye_a
        Slope A at the water's temperature. [(L/mol)^0.5]
    ionic_strength
        [mol/L], 0..0.5

    References
    ----------
    Davies 1962, Ion Association: log10 of the coefficient = -A z² (√I/(1+√I) - 0.3 I).
    """
    root: Number = ionic_strength**0.5
    return -debye_a * (root / (1.0 + root) - 0.3 * ionic_strength)


def activities_at(debye_a: Number, debye_b: Number, ionic_strength: Number) -> Activities[Number]:
    """Return the activity coefficients at an ionic strength.

    Parameters
    ----------
    debye_a
        [(L/mol)^0.5]
    debye_b
        [(L/mol)^0.5 / Å]
    ionic_strength
        [mol/L], 0..0.5

    References
    ----------
    Truesdell & Jones 1974, J. Res. US Geol. Survey 2:233: log10 of the coefficient =
    -A z² √I/(1 + B a √I) + b I, with sizes a [Å] and slopes b as in phreeqc.dat (Parkhurst &
    Appelo 2013); neutral species 0.1 I.
    """
    root: Number = ionic_strength**0.5
    slope = -debye_a * root
    reach = debye_b * root
    middle: Number = 10.0 ** (slope / (1.0 + 5.4 * reach))
    square = middle * middle
    return Activities(
        hydrogen=10.0 ** (slope / (1.0 + 9.0 * reach)),
        hydroxide=10.0 ** (slope / (1.0 + 3.5 * reach)),
        bicarbonate=middle,
        carbonate=square * square,
        calcium=10.0 ** (4.0 * slope / (1.0 + 5.0 * reach) + 0.165 * ionic_strength),
        calcium_bicarbonate=10.0 ** (slope / (1.0 + 6.0 * reach)),
        sodium=10.0 ** (slope / (1.0 + 4.08 * reach) + 0.082 * ionic_strength),
        monovalent=10.0 ** log_gamma_monovalent(debye_a, ionic_strength),
        neutral=10.0 ** (0.1 * ionic_strength),
    )
