"""The stepped thermostat against scipy's RK45 with thermostat events, rtol 1e-6."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.energy.builders import HELSINKI, make_tub, nordic_year
from tests.reference.energy.integrator import integrate
from tubcare.energy.hourly_load import TubState
from tubcare.energy.hours import hours_of_days
from tubcare.energy.load import acting
from tubcare.energy.power import run_power
from tubcare.energy.weather import Weather


@pytest.mark.parametrize("ua_w_k", [4.2, 15.0, 35.0])
def test_ten_summer_days_agree_with_the_integrator(ua_w_k: float) -> None:
    hours = hours_of_days(date(2025, 7, 1), date(2025, 7, 10), HELSINKI)
    smooth = nordic_year().for_hours(hours)
    wander = 3.0 * np.sin(np.arange(hours.count) / 17.0)
    weather = replace(smooth, air_c=smooth.air_c + wander)
    assert isinstance(weather, Weather)
    tub = make_tub(ua_w_k=ua_w_k, cooling_w=1200.0)
    expected = integrate(
        acting(tub, hours, weather).load, tub.thermostat, tub.chiller, weather, start_c=6.0
    )
    found = run_power(tub, hours, weather, TubState(water_c=6.0)).totals()
    assert found.compressor_kwh == pytest.approx(expected.compressor_kwh, rel=0.005)
    assert found.run_h == pytest.approx(expected.run_h, rel=0.005)
    assert found.starts == pytest.approx(expected.starts, abs=1)
