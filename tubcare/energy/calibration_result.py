"""What was learned from the plug meter, or what would let it be learned."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Factors, Spread


class Help(StrEnum):
    """What would let the data tell."""

    MORE_DAYS = "more_days"
    WIDER_TEMPERATURES = "wider_temperatures"
    FINER_READINGS = "finer_readings"
    DRIFT_TEST = "drift_test"
    DRIFT_TEST_AGAIN = "drift_test_again"  # it contradicts the meter


class Identified(StrEnum):
    """What the data tell."""

    RATIO_ONLY = "ratio_only"  # leak over COP and the base power, not leak and COP apart
    SEPARATE = "separate"


class Basis(StrEnum):
    """What the model of a tub goes by."""

    DESCRIPTION = "description"
    DRIFT_TEST = "drift_test"  # the leak; unit and pump by the description
    METER = "meter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """The data cannot tell; defaults stay. `would_help` says what to do."""

    days: float
    temperature_spread_k: float
    would_help: tuple[Help, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """What was learned.

    `leak_over_cop_w_k` [W K⁻¹] with its standard error is known in every case; `tub` carries the
    factors. `noise_share` is the scatter of the readings about the fit, as a share of their mean.
    """

    tub: Tub
    factors: Factors
    spread: Spread
    identified: Identified
    leak_w_k: float
    leak_over_cop_w_k: float
    leak_over_cop_error_w_k: float
    correlation: float
    noise_share: float
    would_help: tuple[Help, ...]
