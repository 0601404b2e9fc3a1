"""What every section holds, on the demo, on a new logbook and with longer words.

Sections are taken from the window's own list, so that a new one is looked at too.
"""

from __future__ import annotations

import gettext
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel
from pytestqt.exceptions import TimeoutError  # noqa: A004  its own name
from typing_extensions import override

from tests.desktop.audit import audit, clipped, cut_sideways
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.theme import Appearance
from tubcare.desktop.tub_section import TubSection
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.logbook import Logbook
    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme
    from tubcare.words.locale import Speech

NOW = noon(2026, 9, 16)
KEYS = [section.key for section in SECTIONS]
PAGED = ("water", "power", "tub")
LONGER = 1.4
"""Translations are often that much longer (W3C, Text size in translation)."""


class LongWords(gettext.NullTranslations):
    """Says everything in more letters."""

    @override
    def gettext(self, message: str) -> str:
        return message + " ö" * round(len(message) * (LONGER - 1) / 2)

    @override
    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    @override
    def pgettext(self, context: str, message: str) -> str:
        return self.gettext(message)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TMPDIR", str(tmp_path_factory.mktemp("demo")))
        return demo_logbook(StillClock(NOW))


@pytest.fixture
def open_demo(demo: Path) -> Callable[[], Logbook]:
    return lambda: OpenLogbook(Desk(open_store(demo, NOW), StillClock(NOW), "Aino"))


@pytest.fixture
def open_new(tmp_path: Path) -> Callable[[], Logbook]:
    def opened() -> Logbook:
        desk = Desk(open_store(tmp_path / "new.db", NOW), StillClock(NOW), "Aino")
        start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Aino")
        return OpenLogbook(desk)

    return opened


def shown(window: Window, qtbot: QtBot, key: str) -> Window:
    window.resize(1024, 600)
    window.go(key)
    settle(qtbot, window)
    # Layouts follow a turn of the loop after the words that they hold.
    with suppress(TimeoutError):
        qtbot.waitUntil(lambda: clipped(window) == [], timeout=1500)
    return window


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize(("appearance", "steps"), [(Appearance.LIGHT, 0), (Appearance.DARK, 3)])
def test_nothing_is_wrong_with_a_section_in_use(  # noqa: PLR0913, PLR0917  fixtures and cases
    make_window: Callable[..., Window],
    open_demo: Callable[[], Logbook],
    theme: Theme,
    qtbot: QtBot,
    key: str,
    appearance: Appearance,
    steps: int,
) -> None:
    theme.choose(appearance)
    for _ in range(steps):
        theme.larger_text()
    window = shown(make_window(sections=SECTIONS, open_logbook=open_demo), qtbot, key)
    assert audit(window) == []


@pytest.mark.parametrize("key", PAGED)
def test_every_page_fits_a_small_window_and_is_cut_nowhere(
    make_window: Callable[..., Window],
    open_demo: Callable[[], Logbook],
    qtbot: QtBot,
    key: str,
) -> None:
    window = shown(make_window(sections=SECTIONS, open_logbook=open_demo), qtbot, key)
    screen = window.screens.current
    assert isinstance(screen, TubSection)
    for place in range(screen.tabs.count()):
        screen.tabs.setCurrentIndex(place)
        settle(qtbot, window)
        with suppress(TimeoutError):
            qtbot.waitUntil(lambda: clipped(window) == [], timeout=1500)
        title = screen.tabs.tabText(place)
        assert (title, clipped(window), cut_sideways(window)) == (title, [], [])
        assert (title, window.width(), window.height()) == (title, 1024, 600)


@pytest.mark.parametrize("key", KEYS)
def test_longer_words_fit_into_a_section(
    make_window: Callable[..., Window],
    open_demo: Callable[[], Logbook],
    qtbot: QtBot,
    speech: Speech,
    key: str,
) -> None:
    longer = replace(speech, translations=LongWords())
    made = make_window(sections=SECTIONS, open_logbook=open_demo, speech=longer)
    assert audit(shown(made, qtbot, key)) == []


@pytest.mark.parametrize("key", KEYS)
def test_a_section_of_a_new_logbook_says_why_it_is_empty_and_what_to_do(
    make_window: Callable[..., Window], open_new: Callable[[], Logbook], qtbot: QtBot, key: str
) -> None:
    window = shown(make_window(sections=SECTIONS, open_logbook=open_new), qtbot, key)
    screen = window.screens.current
    assert screen is not None
    assert audit(window) == []
    assert any(
        label.isVisible() and len(label.text()) > 20 for label in screen.findChildren(QLabel)
    )
    assert any(
        button.isVisible() and button.isEnabled()
        for button in screen.findChildren(QAbstractButton)
    )
