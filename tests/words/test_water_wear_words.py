"""What the water did to the liner, in words: how long, how far, and why it is looked at sooner."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from tubcare.values import Liner
from tubcare.water.exposure import LINER_WINDOWS, ExposurePoint, exposure_since
from tubcare.words.sentences.water_wear import exposure_text

if TYPE_CHECKING:
    from tubcare.words.locale import Speech

NOW = datetime(2026, 5, 6, 12, tzinfo=UTC)
NBSP = "\N{NO-BREAK SPACE}"


def told(english: Speech, liner: Liner, days: float, *points: ExposurePoint) -> str:
    window = LINER_WINDOWS[liner]
    since = NOW - timedelta(days=days)
    found = exposure_since(points, window=window, since=since, until=NOW)
    return " ".join(exposure_text(english, found, window, inspected=True))


def read(days_ago: float, ph: float, chloride_mg_l: float | None = None) -> ExposurePoint:
    at = NOW - timedelta(days=days_ago)
    return ExposurePoint(at=at, ph=ph, chloride_mg_l=chloride_mg_l)


def test_how_long_and_how_far_the_water_was_outside_is_told(english: Speech) -> None:
    found = told(english, Liner.STAINLESS_STEEL, 4.0, read(4, 9.1, 100.0), read(0, 9.1, 250.0))
    assert "pH: 4 days outside, 0 days inside, 0 days not known." in found
    assert "Farthest out: 9.1, where the liner stands 8.5." in found
    assert f"Farthest out: 250{NBSP}mg/L, where the liner stands 150{NBSP}mg/L." in found
    assert "forward: it comes after" in found


def test_unknown_time_is_named_as_the_reason_for_looking_sooner(english: Speech) -> None:
    found = told(english, Liner.ACRYLIC, 10.0)
    assert "10 days not known" in found
    assert "by half the time that is not known" in found
    assert "Free chlorine" not in found


def test_a_few_days_of_which_nothing_is_known_bring_no_inspection_forward(english: Speech) -> None:
    found = told(english, Liner.ACRYLIC, 3.0)
    assert "3 days not known" in found
    assert "forward" not in found


def test_the_first_day_is_too_early_to_tell(english: Speech) -> None:
    assert told(english, Liner.ACRYLIC, 0.5).endswith("too early to tell.")
