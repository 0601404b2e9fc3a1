"""What was learned about a tub: the drift test, and the factors that a calibration found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubcare.energy.calibration_result import Basis
from tubcare.energy.drift_leak import leak_from_drift
from tubcare.energy.uncertainty import Factors, Spread, default_spread
from tubcare.services.power_drift import drift_test_from, fit_test

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.energy.calibration_result import Calibration
    from tubcare.energy.tub import Tub
    from tubcare.services.power_build import TubBuild

LEARNED = "learned"


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Factors on the description and what is still not known about them."""

    factors: Factors
    spread: Spread
    basis: Basis

    def applied(self, tub: Tub) -> Tub:
        """Return the tub as it was learned to be."""
        return self.factors.applied(tub)


def learned_from(drift: Mapping[str, Any], build: TubBuild, described: Tub) -> Learned:
    """Return what was learned, as kept: from the meter, else the leak from the drift test.

    The usual spread about the description until there is either.
    """
    data = drift.get(LEARNED)
    if not data:
        test = drift_test_from(drift)
        told = None if test is None else leak_from_drift(described, fit_test(build, test))
        if told is None:
            return Learned(factors=Factors(), spread=default_spread(), basis=Basis.DESCRIPTION)
        return Learned(factors=told[0], spread=told[1], basis=Basis.DRIFT_TEST)
    leak, carnot, pump = data["factors"]
    rows = tuple((float(a), float(b), float(c)) for a, b, c in data["covariance"])
    return Learned(
        factors=Factors(leak=leak, carnot=carnot, pump=pump),
        spread=Spread(covariance=(rows[0], rows[1], rows[2])),
        basis=Basis.METER,
    )


def learned_data(found: Calibration) -> dict[str, Any]:
    """Return a calibration as kept."""
    return {
        "factors": [found.factors.leak, found.factors.carnot, found.factors.pump],
        "covariance": [list(row) for row in found.spread.covariance],
        "identified": found.identified.value,
    }
