"""The charts of the year review, by the figures that they show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.review.conftest import (
    choose,
    reviewed_of,
)
from tubcare.desktop.review_charts import ReviewCharts

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.review_screen import ReviewScreen
    from tubcare.words.locale import Speech


def test_the_chart_of_months_sets_the_year_before_beside_each(path: Path, speech: Speech) -> None:
    found = reviewed_of(path)
    chart = ReviewCharts(speech, found, found.review.paid).by_month()
    assert [series.name for series in chart.series] == ["2026", "2025"]
    # June: power, and the repair of 25.50 in both years.
    june = [series.values[5] for series in chart.series]
    assert june == [found.review.paid.by_month[5] / 100, 18 + 25.5]
    assert chart.told.startswith("Most in ")


def test_the_chart_of_kinds_adds_up_to_each_month(path: Path, speech: Speech) -> None:
    found = reviewed_of(path)
    chart = ReviewCharts(speech, found, found.review.used).by_kind()
    heights = [
        sum(v or 0 for v in column)
        for column in zip(*(s.values for s in chart.series), strict=True)
    ]
    assert heights == pytest.approx([minor / 100 for minor in found.review.used.by_month])


def test_months_that_come_twice_in_a_season_carry_their_year(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Season from 10 Apr 2026")
    shown = screen.pages["kind-months"].shown
    assert shown is not None
    assert shown.heads[1] == "Apr 2026"
    assert shown.heads[-2] == "Apr 2027"
    assert shown.heads[2] == "May"
