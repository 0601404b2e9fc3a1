"""A drift test: unit and pump off, lid on, and how fast the water follows the air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubcare.energy.drift_test import DriftResult, fit_drift
from tubcare.energy.water_properties import heat_capacity_j_k
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.services.power_build import TubBuild

TEST = "test"
# What the engine names apart, a person types in one field.
_IN_READINGS = frozenset({"elapsed_s", "water_c"})


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftTest:
    """Readings while unit and pump were off and the lid was on.

    Parameters
    ----------
    readings
        Hours since the start [h] and water temperature [°C], in order.
    air_c
        Mean air temperature meanwhile. [°C]
    """

    readings: tuple[tuple[float, float], ...]
    air_c: float


def fit_test(build: TubBuild, test: DriftTest) -> DriftResult:
    """Return what a drift test tells about a tub.

    Raises
    ------
    InputError, OutOfRangeError
        When its readings cannot tell the leak, and what would.
    """
    if not test.readings:
        raise InputError("readings", "write at least four readings of the water temperature")
    hours, water = zip(*test.readings, strict=True)
    capacity = heat_capacity_j_k(volume_l=build.profile.volume_l, water_c=sum(water) / len(water))
    try:
        return fit_drift(
            [each * 3600.0 for each in hours],
            list(water),
            air_c=test.air_c,
            heat_capacity_j_k=capacity,
        )
    except InputError as error:
        if error.field in _IN_READINGS:
            raise InputError("readings", error.reason) from error
        raise


def drift_test_from(drift: Mapping[str, Any]) -> DriftTest | None:
    """Return the test that is kept in a power plan, None when there is none."""
    data = drift.get(TEST)
    if not data:
        return None
    readings = tuple((float(hours), float(water)) for hours, water in data["readings"])
    return DriftTest(readings=readings, air_c=float(data["air_c"]))
