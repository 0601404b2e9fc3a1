"""What cyanuric acid leaves of the free chlorine: with its range, and only where it is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.measures import add_readings
from tubcare.services.water_now import water_now
from tubcare.words.locale import speech_for
from tubcare.words.sentences.water_care import active_text

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

BASE = {"ph": 7.4, "alkalinity_mg_l": 80.0, "hardness_mg_l": 100.0, "free_chlorine_mg_l": 3.0}


def test_cold_water_with_cyanurate_tells_a_wide_range_and_why(desk: Desk, tub: TubId) -> None:
    """PHREEQC: 3 mg/L at pH 7.4 and 5 °C with 30 mg/L of cyanuric acid leave 0.012 as HOCl."""
    add_readings(desk, tub, {**BASE, "cyanurate_mg_l": 30.0, "water_c": 3.0})
    active = water_now(desk, tub).active
    assert active is not None
    assert active.extrapolated
    assert active.low_mg_l < 0.012 < active.high_mg_l
    told = active_text(speech_for({}, chosen="en_GB", currency_code="EUR"), active)
    assert "about 0.01" in told
    assert "Below 5 °C this was never measured" in told


def test_warmer_water_tells_the_spread_of_the_constants_alone(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {**BASE, "cyanurate_mg_l": 30.0, "water_c": 9.0})
    active = water_now(desk, tub).active
    assert active is not None
    assert not active.extrapolated
    assert "never measured" not in active_text(
        speech_for({}, chosen="en_GB", currency_code="EUR"), active
    )


def test_without_cyanurate_nothing_is_said(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {**BASE, "water_c": 3.0})
    assert water_now(desk, tub).active is None
