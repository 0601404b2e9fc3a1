"""No number that is none gets into the sums of the power. Our own rule: no outside figures."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.energy.builders import flat_tariff, make_hours
from tubcare.energy.drift_test import fit_drift
from tubcare.energy.first_frost import planned_on
from tubcare.energy.frost_dates import SeasonDate
from tubcare.energy.frost_risk import risk_date
from tubcare.energy.holding import holding_energy
from tubcare.energy.tariff import hourly_minor
from tubcare.errors import InputError, OutOfRangeError

NONE_OF_THEM = [math.nan, math.inf, -math.inf]


@pytest.mark.parametrize("value", NONE_OF_THEM)
def test_an_hour_without_a_figure_has_no_cost(value: float) -> None:
    with pytest.raises(InputError, match="without a figure"):
        hourly_minor(flat_tariff(), make_hours(2), np.array([1.0, value]))


@pytest.mark.parametrize("value", NONE_OF_THEM)
def test_a_missing_load_or_cop_holds_nothing(value: float) -> None:
    with pytest.raises(InputError):
        holding_energy(np.array([100.0, value]), np.array([3.0, 3.0]))
    with pytest.raises(InputError):
        holding_energy(np.array([100.0, 100.0]), np.array([3.0, value]))


@pytest.mark.parametrize("value", NONE_OF_THEM)
def test_a_drift_test_needs_its_times(value: float) -> None:
    with pytest.raises(InputError, match="time"):
        fit_drift(
            [0.0, 7200.0, 14400.0, 21600.0, value],
            [4.0, 4.5, 5.0, 5.5, 6.0],
            air_c=18.0,
            heat_capacity_j_k=1.7e6,
        )


@pytest.mark.parametrize("lead_days", [-1, 61, 10**12])
def test_a_lead_is_a_number_of_days(lead_days: int) -> None:
    found = risk_date([SeasonDate(season=1990 + n, day=280 + n) for n in range(20)], 0.1)
    with pytest.raises(OutOfRangeError):
        planned_on(2025, found, lead_days=lead_days)
