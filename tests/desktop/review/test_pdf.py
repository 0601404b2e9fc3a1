"""The PDF of the year review, as it is read and as it looks."""

from __future__ import annotations

import re
import shutil
import subprocess
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QImage

from tests.desktop.review.conftest import (
    choose,
    open_desk,
    quiet,
    reviewed_of,
)
from tests.support.plans import add_task
from tubcare.desktop.plotting import Plot
from tubcare.desktop.print.chart_picture import chart_picture
from tubcare.desktop.print.pdf import pdf_of
from tubcare.desktop.print.review_report import ReviewPictures, page_words, review_report
from tubcare.desktop.review_charts import ReviewCharts
from tubcare.services.reviews import year_review
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.values import TubId
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.review_screen import ReviewScreen
    from tubcare.services.reviews import Reviewed
    from tubcare.words.locale import Speech

PDFTOTEXT, PDFTOPPM, PDFINFO = map(shutil.which, ("pdftotext", "pdftoppm", "pdfinfo"))
needs_poppler = pytest.mark.skipif(
    not (PDFTOTEXT and PDFTOPPM and PDFINFO), reason="poppler's tools are not installed"
)


@pytest.fixture
def pdf(qtbot: QtBot, screen: ReviewScreen, tmp_path: Path) -> Path:
    choose(qtbot, screen, "Year 2026")
    target = tmp_path / "review.pdf"
    screen.print_to(target)
    qtbot.waitUntil(lambda: str(target) in screen.context.strip.text, timeout=10_000)
    quiet(qtbot, screen)
    return target


def text_of(pdf: Path) -> str:
    done = subprocess.run(
        [str(PDFTOTEXT), "-layout", str(pdf), "-"], capture_output=True, check=True, text=True
    )
    # A typeface may join the letters f and i.
    return done.stdout.replace("\N{LATIN SMALL LIGATURE FI}", "fi")


def flat(text: str) -> str:
    return " ".join(text.split())


@needs_poppler
def test_the_pdf_tells_what_the_screen_tells(pdf: Path, path: Path) -> None:
    text = flat(text_of(pdf))
    total = reviewed_of(path).review.used.total.minor
    assert "Year review: 2026" in text
    assert f"So far €{total / 100:.2f}." in text
    assert "Filter cartridge +8.00 +8.00" in text
    # A title with marks of markup is shown letter by letter.
    assert "Swap the filter & rinse <it>" in text


@needs_poppler
def test_each_page_of_the_pdf_has_its_number(pdf: Path) -> None:
    pages = text_of(pdf).split("\f")[:-1]
    assert len(pages) >= 3
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
        assert "Year review: 2026" in page


@needs_poppler
def test_the_pages_carry_charts_and_stay_within_their_margins(pdf: Path, tmp_path: Path) -> None:
    subprocess.run(
        [str(PDFTOPPM), "-r", "60", "-png", str(pdf), str(tmp_path / "page")], check=True
    )
    pictures = sorted(tmp_path.glob("page*.png"))
    first, last = QImage(str(pictures[0])), QImage(str(pictures[-1]))
    assert first.height() > first.width()
    assert last.width() > last.height()
    for picture in map(QImage, map(str, pictures)):
        assert border_is_white(picture, 30)
    assert has_colour(first)


def border_is_white(picture: QImage, wide: int) -> bool:
    right, bottom = picture.width() - wide, picture.height() - wide
    return all(
        picture.pixelColor(x, y).lightness() > 250
        for x in range(0, picture.width(), 2)
        for y in range(0, picture.height(), 2)
        if not (wide <= x < right and wide <= y < bottom)
    )


def has_colour(picture: QImage) -> bool:
    """Return whether anything but greys is on a page: the bars of a chart."""
    return any(
        picture.pixelColor(x, y).hslSaturation() > 100
        and picture.pixelColor(x, y).lightness() < 200
        for x in range(0, picture.width(), 2)
        for y in range(0, picture.height(), 2)
    )


def printed(found: Reviewed, speech: Speech, target: Path) -> Path:
    """Print a review without a window."""
    charts = ReviewCharts(speech, found, found.review.used)
    pictures = ReviewPictures(
        months=chart_picture(Plot, charts.by_month()), kinds=chart_picture(Plot, charts.by_kind())
    )
    report = review_report(speech, found, pictures)
    target.write_bytes(pdf_of(report, partial(page_words, speech)))
    return target


@needs_poppler
@pytest.mark.usefixtures("theme")
@pytest.mark.parametrize(
    ("chosen", "amount", "paper"),
    [
        ("de_DE", "48,00", (595, 842)),
        ("en_US", "48.00", (612, 792)),
        ("fi_FI", "48,00", (595, 842)),
    ],
)
def test_numbers_and_paper_of_the_pdf_follow_the_locale(
    path: Path, tmp_path: Path, chosen: str, amount: str, paper: tuple[int, int]
) -> None:
    speech = speech_for({}, chosen=chosen, currency_code="EUR")
    target = printed(reviewed_of(path), speech, tmp_path / "x.pdf")
    assert amount in text_of(target)
    info = subprocess.run([str(PDFINFO), str(target)], capture_output=True, check=True, text=True)
    size = re.search(r"Page size:\s+(\d+)(?:\.\d+)? x (\d+)", info.stdout)
    assert size is not None
    assert (int(size[1]), int(size[2])) == paper


@needs_poppler
@pytest.mark.usefixtures("theme")
def test_a_long_table_goes_on_under_its_heads_and_no_heading_stands_alone(
    path: Path, speech: Speech, tmp_path: Path
) -> None:
    desk = open_desk(path)
    for number in range(70):
        task = add_task(desk, TubId(1), title=f"Task number {number}")
        record_work(desk, task, Work(on=date(2026, 8, 20), cost_minor=100), restarts=True)
    found = year_review(desk, 2026)
    desk.store.close()
    pages = text_of(printed(found, speech, tmp_path / "x.pdf")).split("\f")[:-1]
    heads = [page for page in pages if re.search(r"Task +Done +Missed", page)]
    assert len(heads) >= 2
    text = flat(" ".join(pages))
    assert all(f"Task number {number} " in text for number in range(70))
    assert not [page for page in pages if ends_with_heading(page)]


def ends_with_heading(page: str) -> bool:
    lines = [line.strip() for line in page.splitlines() if line.strip()]
    return lines[-2] in {"By tub", "How it is reckoned", "What was done and what was missed"}
