"""Whole seasons of typical years against sums over their hours, computed apart from this engine.

Expected: numpy over the hours of each file, 1 April to 31 October, 400 L at 4 °C, pump of 40 W all
day, fan of 25 W, 600 W of cooling whatever the temperature, 0.42 of Carnot between water less 8 K
and air plus 12 K (20 °C at least), lid with an absorptance of 0.6 (own computation, without a
thermostat band). The weather files belong to ASHRAE: they are read where they lie.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.energy.builders import HELSINKI, SEASON, make_tub
from tests.reference.energy.open_data import data_text
from tests.reference.energy.test_open_data import EPW
from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.power import run_power
from tubcare.energy.weather_series import typical_year_of
from tubcare.energy.weather_text import read_weather


@pytest.mark.parametrize(
    ("place", "seasons"),
    [
        (
            "FIN_Helsinki.029740_IWEC",
            {4.2: (322.0, 3.0), 15.0: (465.0, 6.4), 35.0: (693.0, 12.2)},
        ),
        (
            "SWE_Stockholm.Arlanda.024600_IWEC",
            {4.2: (328.0, 3.1), 15.0: (487.0, 6.9), 35.0: (738.0, 13.2)},
        ),
    ],
)
def test_a_season_draws_what_its_hours_sum_up_to(
    place: str, seasons: dict[float, tuple[float, float]]
) -> None:
    text = data_text("sinergym", f"sinergym/data/weather/{place}.epw")
    year = typical_year_of(read_weather(text, EPW), standard_offset_s=7200)
    hours = hours_of_days(*SEASON, HELSINKI)
    weather = year.for_hours(hours)
    for ua_w_k, (kwh, run_h_a_day) in seasons.items():
        tub = make_tub(ua_w_k=ua_w_k, cooling_w=600.0)
        flat = replace(tub.chiller, cooling_per_water_k=0.0, cooling_per_air_k=0.0)
        tub = replace(tub, chiller=flat)
        found = run_power(tub, hours, weather).totals()
        # Cold nights that the band stores and the split of the lid are worth up to 3 %.
        assert found.kwh == pytest.approx(kwh, rel=0.03)
        assert found.run_h / 214 == pytest.approx(run_h_a_day, rel=0.06)
        held = held_power(tub, hours, weather)
        if float(held.run_h.max()) <= 1.0:
            assert float(held.drawn_kwh.sum()) == pytest.approx(found.kwh, rel=0.01)
