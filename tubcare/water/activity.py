"""Activity of ions by the Davies equation, and ionic strength."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.water.number import Number

# Davies 1962, Ion Association: holds to an ionic strength of 0.5 mol/L.
HIGHEST_IONIC_STRENGTH = 0.5


def log_gamma_monovalent(davies_a: Number, ionic_strength: Number) -> Number:
    """Return log10 of the activity coefficient of an ion of charge 1; charge z takes z² times it.

    Parameters
    ----------
    davies_a
        Slope A at the water's temperature. [(L/mol)^0.5]
    ionic_strength
        [mol/L], 0..0.5

    References
    ----------
    Davies 1962, Ion Association: log10 of the coefficient = -A z² (√I/(1+√I) - 0.3 I).
    """
    root: Number = ionic_strength**0.5
    return -davies_a * (root / (1.0 + root) - 0.3 * ionic_strength)


def ionic_strength_from_dissolved_solids(tds_mg_l: float) -> float:
    """Return the ionic strength [mol/L] as TDS/40000 (Standard Methods 2330 B).

    Fits waters of bicarbonates; 8-75 % too high where most of the TDS is common salt.
    """
    return tds_mg_l / 40_000.0
