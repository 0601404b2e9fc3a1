"""What is not known about a tub, and the range that it puts on every estimate."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from tubcare.energy.tub import Tub

# A range covers nine cases in ten.
_RANGE = 1.6449
# Half-widths of those ranges before calibration, as shares: leak, share of Carnot, pump power. Own
# judgement from the spread of build-ups, of published compressors and of pump labels.
DEFAULT_SHARES = (0.40, 0.20, 0.30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Factors:
    """By what leak, share of Carnot and pump power differ from the description. [-], 0.02..50."""

    leak: float = 1.0
    carnot: float = 1.0
    pump: float = 1.0

    def __post_init__(self) -> None:
        require("leak", self.leak, 0.02, 50.0)
        require("carnot", self.carnot, 0.02, 50.0)
        require("pump", self.pump, 0.02, 50.0)

    def applied(self, tub: Tub) -> Tub:
        """Return `tub` with these factors; the share of Carnot stays within 0.1..0.7."""
        envelope = replace(
            tub.envelope,
            body_ua_w_k=min(tub.envelope.body_ua_w_k * self.leak, 500.0),
            lid_resistance_m2k_w=min(
                max(tub.envelope.lid_resistance_m2k_w / self.leak, 0.005), 20.0
            ),
        )
        carnot = min(max(tub.chiller.carnot_share * self.carnot, 0.1), 0.7)
        return replace(
            tub,
            envelope=envelope,
            chiller=replace(tub.chiller, carnot_share=carnot),
            pump=replace(tub.pump, power_w=min(tub.pump.power_w * self.pump, 5000.0)),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Covariance of the natural logarithms of the factors (leak, Carnot, pump); 3 by 3."""

    covariance: tuple[tuple[float, float, float], ...]

    def array(self) -> NDArray[np.float64]:
        """Return the covariance [-] as an array of shape (3, 3)."""
        return np.array(self.covariance, dtype=np.float64)


def default_spread() -> Spread:
    """Return the spread before any calibration.

    Raises nothing; half-widths 0.40, 0.20 and 0.30 of leak, share of Carnot and pump power [-].

    References
    ----------
    Own judgement from the spread of build-ups, of published compressors and of pump labels.
    """
    leak, carnot, pump = ((math.log1p(share) / _RANGE) ** 2 for share in DEFAULT_SHARES)
    return Spread(covariance=((leak, 0.0, 0.0), (0.0, carnot, 0.0), (0.0, 0.0, pump)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value and the range that covers it in nine cases of ten."""

    value: float
    low: float
    high: float


def estimate(
    tub: Tub, spread: Spread, quantities: Callable[[Tub], tuple[float, ...]]
) -> tuple[Estimate, ...]:
    """Return each quantity with its range.

    Parameters
    ----------
    tub
        As described or calibrated.
    spread
        What is not known about it.
    quantities
        Computes them for a tub, in any unit; called seven times.

    Raises
    ------
    InputError, OutOfRangeError
        Whatever `quantities` raises.

    Notes
    -----
    One step up and one down along each principal axis of the covariance; the steps of all axes are
    joined in quadrature, upwards and downwards apart. For nearly linear quantities this is the
    usual propagation of uncertainty (JCGM 100:2008, 5.2), correlation included.

    References
    ----------
    JCGM 100:2008, 5.2: propagation of uncertainty, with correlation.
    """
    moved = [quantities(step.applied(tub)) for step in steps(spread)]
    return joined(quantities(tub), moved)


def steps(spread: Spread) -> tuple[Factors, ...]:
    """Return one step up and one down along each principal axis of what is not known. [-].

    Raises nothing.

    Parameters
    ----------
    spread
        What is not known about a tub.

    References
    ----------
    JCGM 100:2008, 5.2; principal axes take care of correlation.
    """
    sizes, axes = np.linalg.eigh(spread.array())
    found = []
    for size, axis in zip(sizes, axes.T, strict=True):
        step = _RANGE * math.sqrt(max(float(size), 0.0)) * axis
        found += [_factors(sign * step) for sign in (1.0, -1.0)]
    return tuple(found)


def joined(middle: tuple[float, ...], moved: Sequence[tuple[float, ...]]) -> tuple[Estimate, ...]:
    """Return quantities in their own unit with the ranges that follow from moved ones.

    Parameters
    ----------
    middle
        As they are, in any unit.
    moved
        After each of the `steps`, in their order: up and down by turns, in any unit.

    Raises
    ------
    ValueError
        If a set of moved quantities is as long as no other.

    References
    ----------
    JCGM 100:2008, 5.2: steps of all axes in quadrature, upwards and downwards apart.
    """
    values = np.array(middle)
    apart = np.array(moved).reshape(-1, 2, values.size) - values
    up = (np.maximum(apart.max(axis=1), 0.0) ** 2).sum(axis=0)
    down = (np.minimum(apart.min(axis=1), 0.0) ** 2).sum(axis=0)
    return tuple(
        Estimate(value=float(v), low=float(v - math.sqrt(d)), high=float(v + math.sqrt(u)))
        for v, d, u in zip(values, down, up, strict=True)
    )


def _factors(logs: NDArray[np.float64]) -> Factors:
    leak, carnot, pump = (min(max(math.exp(float(value)), 0.02), 50.0) for value in logs)
    return Factors(leak=leak, carnot=carnot, pump=pump)
