"""What was learned about a tub: the drift test, and the factors that a calibration found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubcare.energy.uncertainty import Factors, Spread, default_spread

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.energy.calibration_result import Calibration
    from tubcare.energy.tub import Tub

LEARNED = "learned"
TEST = "test"


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Factors on the description and what is still not known about them."""

    factors: Factors
    spread: Spread
    calibrated: bool

    def applied(self, tub: Tub) -> Tub:
        """Return the tub as it was learned to be."""
        return self.factors.applied(tub)


def learned_from(drift: Mapping[str, Any]) -> Learned:
    """Return what was learned, as kept; the usual spread about the description until then."""
    data = drift.get(LEARNED)
    if not data:
        return Learned(factors=Factors(), spread=default_spread(), calibrated=False)
    leak, carnot, pump = data["factors"]
    rows = tuple((float(a), float(b), float(c)) for a, b, c in data["covariance"])
    return Learned(
        factors=Factors(leak=leak, carnot=carnot, pump=pump),
        spread=Spread(covariance=(rows[0], rows[1], rows[2])),
        calibrated=True,
    )


def learned_data(found: Calibration) -> dict[str, Any]:
    """Return a calibration as kept."""
    return {
        "factors": [found.factors.leak, found.factors.carnot, found.factors.pump],
        "covariance": [list(row) for row in found.spread.covariance],
        "identified": found.identified.value,
    }
