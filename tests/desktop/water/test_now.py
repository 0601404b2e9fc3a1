"""What is known of the water now: readings against their ranges, wear, the index, the wait."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.water.conftest import cells

if TYPE_CHECKING:
    from tubcare.desktop.water_screen import WaterScreen


def test_readings_outside_come_first_with_word_and_distance(screen: WaterScreen) -> None:
    first, second = cells(screen, 0), cells(screen, 1)
    assert first[:3] == ["pH", "8.1", "Above by 0.3"]
    assert second[:3] == [
        "Free chlorine",
        "0.3\N{NO-BREAK SPACE}mg/L",
        "Below by 0.7\N{NO-BREAK SPACE}mg/L",
    ]
    assert "MAHC" in first[4]


def test_the_facts_tell_readings_age_and_wait_and_never_a_verdict(screen: WaterScreen) -> None:
    told = screen.now().facts.text()
    assert "2 readings lie outside the tub's ranges." in told
    assert "No waiting time after a dose is running." in told
    assert "hazy" in told
    assert "safe" not in told.casefold()


def test_the_index_is_told_with_what_it_means_for_the_liner(screen: WaterScreen) -> None:
    assert "Saturation index" in screen.now().scale.text()
    assert "6\N{NO-BREAK SPACE}°C" in screen.now().scale.text()
    assert "calcium hardness 80" in screen.now().assumed.text()


def test_the_question_is_answered_with_facts(screen: WaterScreen) -> None:
    assert screen.now().question.text() == "May we step in? What is known:"
    assert screen.now().facts.isVisible()


def test_wear_of_the_water_and_exposure_of_the_liner_are_told(screen: WaterScreen) -> None:
    assert "next change of water" in screen.now().wear.text()
    assert "Since the opening" in screen.now().liner.text()
    assert "not known" in screen.now().liner.text()
