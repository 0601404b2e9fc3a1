"""The leak that a drift test tells by itself: unit and pump stay as described."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.energy.uncertainty import Factors, Spread, default_spread

if TYPE_CHECKING:
    from tubcare.energy.drift_test import DriftResult
    from tubcare.energy.tub import Tub

# As far as a calibration goes from the description: a factor of 20. [-]
_MOST_LOG = 3.0
_HALVINGS = 40


def leak_from_drift(tub: Tub, drift: DriftResult) -> tuple[Factors, Spread] | None:
    """Return the factor on the leak and what is still not known, None if the test is no help.

    Efficiency and pump keep their description with its spread. It is no help if it tells the leak
    no better than the description does, or one that is over 20 times off. Raises nothing.

    Parameters
    ----------
    tub
        As described. Leak in [W K⁻¹], 0..500
    drift
        What the test told. [W K⁻¹]

    References
    ----------
    Own derivation: the leak rises with its factor, so halving finds it.
    """
    described = default_spread().covariance
    if drift.log_sd**2 >= described[0][0]:
        return None
    low, high = -_MOST_LOG, _MOST_LOG
    if not _leak_w_k(tub, low) <= drift.ua_w_k <= _leak_w_k(tub, high):
        return None
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if _leak_w_k(tub, middle) < drift.ua_w_k:
            low = middle
        else:
            high = middle
    spread = Spread(covariance=((drift.log_sd**2, 0.0, 0.0), described[1], described[2]))
    return Factors(leak=math.exp(high)), spread


def _leak_w_k(tub: Tub, log: float) -> float:
    return Factors(leak=math.exp(log)).applied(tub).envelope.ua_w_k()
