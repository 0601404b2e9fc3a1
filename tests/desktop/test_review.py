"""The year review in the window: periods, views, charts, tables, and the PDF as it is read."""

from __future__ import annotations

import re
import shutil
import subprocess
from datetime import date, timedelta
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.care.model import TubState
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.plotting import Plot
from tubcare.desktop.print.chart_picture import chart_picture
from tubcare.desktop.print.pdf import pdf_of
from tubcare.desktop.print.review_report import ReviewPictures, page_words, review_report
from tubcare.desktop.review_charts import ReviewCharts
from tubcare.desktop.review_screen import ReviewScreen
from tubcare.desktop.sections import SECTIONS
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import MeterValue, add_dip
from tubcare.services.meters import add_meter_reading
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.prices import Prices, set_prices
from tubcare.services.reviews import year_review
from tubcare.services.supplies import supplies
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.store.open import open_store
from tubcare.values import TubId
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.reviews import Reviewed
    from tubcare.values import TaskId
    from tubcare.words.locale import Speech

NOW = noon(2026, 9, 1)
PDFTOTEXT, PDFTOPPM, PDFINFO = map(shutil.which, ("pdftotext", "pdftoppm", "pdfinfo"))
needs_poppler = pytest.mark.skipif(
    not (PDFTOTEXT and PDFTOPPM and PDFINFO), reason="poppler's tools are not installed"
)


def at(desk: Desk, day: date) -> Desk:
    return Desk(desk.store, StillClock(noon(day.year, day.month, day.day)), desk.actor)


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Write two seasons of a tub: the second one dearer, and running."""
    path = tmp_path / "a.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC", opened=date(2025, 4, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2025, 10, 15))
    enter_state(desk, tub, TubState.OPEN, date(2026, 4, 10))
    set_budgets(desk, 2026, {SpendCategory.POWER: 9_000, SpendCategory.FILTERS: 5_000})
    task = add_task(desk, tub, title="Swap the filter & rinse <it>")
    add_task(desk, tub, title="Clean the coil", starts_on=date(2026, 4, 10))
    a_season(desk, tub, task, 2025, price="0.30", each=1000)
    a_season(desk, tub, task, 2026, price="0.36", each=1200)
    desk.store.close()
    return path


def a_season(desk: Desk, tub: TubId, task: TaskId, year: int, *, price: str, each: int) -> None:
    set_prices(desk, Prices(power_per_kwh=Decimal(price), water_per_m3=Decimal("1.5")))
    first = date(year, 4, 25)
    for month in range(4):
        value = MeterValue(counter="kwh", value_milli=10**6 + ((year - 2025) * 3 + month) * 60_000)
        day = first + timedelta(days=30 * month)
        add_meter_reading(at(desk, day), tub, value, on=day)
    buy_stock(
        desk,
        StockPurchase(
            on=date(year, 5, 1),
            supply="Filter cartridge",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=4000,
            minor=4 * each,
        ),
    )
    (supply,) = supplies(desk)
    for month in (5, 6, 7, 8):
        day = date(year, month, 10)
        work = Work(on=day, uses={supply.id: 1000})
        record_work(at(desk, day), task, work, restarts=True)
        add_dip(at(desk, day), tub, dips=5)
    pay(desk, DirectPurchase(on=date(year, 6, 3), category=SpendCategory.REPAIRS, minor=2550))


@pytest.fixture
def screen(make_window: Callable[..., Window], path: Path, qtbot: QtBot) -> ReviewScreen:
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    window.go("review")
    settle(qtbot, window)
    window.activateWindow()
    QTest.qWaitForWindowActive(window, 1000)
    screen = window.screens.current
    assert isinstance(screen, ReviewScreen)
    return screen


def quiet(qtbot: QtBot, screen: ReviewScreen) -> None:
    qtbot.waitUntil(lambda: not screen.context.work.busy, timeout=10_000)


def choose(qtbot: QtBot, screen: ReviewScreen, beginning: str) -> None:
    """Choose a period by typing the beginning of its name."""
    names = [screen.period.itemText(at) for at in range(screen.period.count())]
    place = next(at for at, name in enumerate(names) if name.startswith(beginning))
    screen.period.setCurrentIndex(place)
    screen.period.activated.emit(place)
    quiet(qtbot, screen)


def rows(screen: ReviewScreen, key: str) -> dict[str, dict[str, str]]:
    shown = screen.pages[key].shown
    assert shown is not None
    return {row[0]: dict(zip(shown.heads, row, strict=True)) for row in shown.rows}


def test_years_and_seasons_are_chosen_by_keyboard(qtbot: QtBot, screen: ReviewScreen) -> None:
    names = [screen.period.itemText(at) for at in range(screen.period.count())]
    assert names == [
        "Year 2026",
        "Year 2025",
        "Season from 10 Apr 2026 (North)",
        "Season from 20 Apr 2025 (North)",
    ]
    assert screen.period.hasFocus()
    QTest.keyClick(screen.period, Qt.Key.Key_Down)
    quiet(qtbot, screen)
    assert "In all" in screen.told.text()


def test_one_tub_is_chosen_where_there_are_several(
    qtbot: QtBot, screen: ReviewScreen, path: Path
) -> None:
    assert not screen.tub.isVisible()
    desk = open_desk(path)
    add_tub(desk, name="South", zone="UTC", opened=date(2026, 4, 10))
    desk.store.close()
    screen.refresh()
    quiet(qtbot, screen)
    assert [screen.tub.itemText(at) for at in range(screen.tub.count())] == [
        "All tubs",
        "North",
        "South",
    ]
    screen.tub.setFocus()
    QTest.keyClicks(screen.tub, "So")
    quiet(qtbot, screen)
    assert screen.told.text().startswith("South alone, without what belongs to no tub.")
    assert set(rows(screen, "tubs")) <= {"South", "In all"}


def test_a_running_season_tells_so_far_the_time_before_forecast_and_budget(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Season from 10 Apr 2026")
    told = screen.told.text()
    assert told.startswith("So far €")
    assert "That is €18.80 more than in the same days of the time before, which came to €" in told
    assert "By 9 Apr 2027 likely about €" in told
    assert "Of the budget of €140.00" in told
    assert re.search(r"145 open days, €\d+\.\d\d each\. 20 dips, €\d+\.\d\d each\.", told)


def test_what_was_done_and_missed_stands_for_each_task(qtbot: QtBot, screen: ReviewScreen) -> None:
    choose(qtbot, screen, "Season from 10 Apr 2026")
    tasks = rows(screen, "tasks")
    assert tasks["Swap the filter & rinse <it>"]["Done"] == "4"
    assert tasks["Clean the coil"]["Missed"] == "1"
    assert "Missed most often: Clean the coil (1)." in screen.told.text()


def test_kinds_stand_beside_the_time_before_and_their_budget(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Year 2026")
    filters = rows(screen, "kinds")["Filters"]
    before = filters["Same days before"]
    assert (filters["Cost"], before, filters["Change"]) == ("48.00", "40.00", "+8.00")
    assert (filters["Budget"], filters["Left"]) == ("50.00", "2.00")


def test_every_table_adds_up_to_the_sum_that_is_told(qtbot: QtBot, screen: ReviewScreen) -> None:
    for view in range(screen.view.count()):
        screen.view.setCurrentIndex(view)
        quiet(qtbot, screen)
        sums = {
            key: rows(screen, key)["In all"].get("Cost") or rows(screen, key)["In all"]["In all"]
            for key in ("kinds", "tasks", "kind-months", "task-months", "tubs")
        }
        assert len(set(sums.values())) == 1, sums
        assert f"€{sums['kinds']}" in screen.told.text()


def test_price_and_quantity_are_told_in_words_and_in_a_table(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Year 2026")
    cartridge = rows(screen, "effects")["Filter cartridge"]
    assert (cartridge["Change"], cartridge["By price"]) == ("+8.00", "+8.00")
    assert "Filter cartridge +€8.00: +€8.00 by price." in screen.why.text()
    assert screen.why.text().startswith("Beside the same days of the time before, what was used")


def test_without_a_period_before_the_review_says_so(qtbot: QtBot, screen: ReviewScreen) -> None:
    choose(qtbot, screen, "Year 2025")
    assert "no period before" in screen.why.text()


def reviewed_of(path: Path) -> Reviewed:
    desk = open_desk(path)
    found = year_review(desk, 2026)
    desk.store.close()
    return found


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


def test_the_review_is_whole_for_keyboard_and_screen_reader(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    for tab in range(screen.tabs.count()):
        screen.tabs.setCurrentIndex(tab)
        quiet(qtbot, screen)
        assert audit(screen.window()) == []


# The PDF, as whoever gets it reads it


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


def test_an_empty_logbook_has_a_review_too(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    path = tmp_path / "empty.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    desk.store.close()
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    window.go("review")
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, ReviewScreen)
    assert screen.told.text() == "So far €0.00. 0 done, 0 missed or skipped."
    assert not screen.pages["effects"].isVisible()
    target = tmp_path / "empty.pdf"
    screen.print_to(target)
    qtbot.waitUntil(lambda: str(target) in screen.context.strip.text, timeout=10_000)
    assert target.read_bytes().startswith(b"%PDF-")
    quiet(qtbot, screen)


def test_a_file_that_cannot_be_written_is_told_and_nothing_is_lost(
    qtbot: QtBot, screen: ReviewScreen, tmp_path: Path
) -> None:
    screen.print_to(tmp_path / "nowhere" / "review.pdf")
    qtbot.waitUntil(lambda: bool(screen.context.notices.keys), timeout=10_000)
    told = " ".join(label.text() for label in screen.context.notices.findChildren(QLabel))
    assert "choose another place" in told
    quiet(qtbot, screen)
