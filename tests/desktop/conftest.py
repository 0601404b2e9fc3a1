"""What the tests of the window share: an application dressed as ours, and nothing left behind."""

from __future__ import annotations

import gc
import os
import threading
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from tests.desktop.fake_section import SECTIONS, NotesLogbook
from tubcare.desktop.keeping import Keeping
from tubcare.desktop.shell import Parts, Window
from tubcare.desktop.theme import Theme
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.table_export import TableExport
    from tubcare.words.locale import Speech

os.environ.setdefault("QT_ENABLE_HIGHDPI_SCALING", "1")


def pytest_itemcollected(item: pytest.Item) -> None:
    """Let the offscreen platform say what it cannot do; it says so for every window."""
    item.add_marker(pytest.mark.qt_log_ignore("propagateSizeHints"))


@pytest.fixture(autouse=True)
def nothing_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test that leaves a running timer, a thread or a modal window behind."""
    before = set(threading.enumerate())
    # What is there already is none of this test's: looking it through took a third of the run.
    gc.freeze()
    yield
    if "qtbot" not in request.fixturenames:
        return
    gc.collect()
    assert QApplication.activeModalWidget() is None
    assert not [t for t in threading.enumerate() if t not in before and t.is_alive()]
    timers = [o for o in gc.get_objects() if isinstance(o, QTimer) and o.isActive()]
    assert not timers


@pytest.fixture
def speech() -> Speech:
    return speech_for({}, chosen="en_GB", currency_code="EUR")


@pytest.fixture
def keeping(tmp_path: Path) -> Keeping:
    return Keeping(tmp_path / "settings" / "window.ini")


@pytest.fixture
def theme(qapp: QApplication, keeping: Keeping) -> Iterator[Theme]:
    font = qapp.font()
    made = Theme(qapp, keeping)
    yield made
    made.close()
    qapp.setFont(font)


@pytest.fixture
def logbook() -> NotesLogbook:
    return NotesLogbook()


@pytest.fixture
def make_window(
    qtbot: QtBot, theme: Theme, keeping: Keeping, speech: Speech, logbook: NotesLogbook
) -> Iterator[Callable[..., Window]]:
    """Return a call that makes a window, shown and with its logbook open unless said otherwise."""
    made: list[Window] = []

    def make(*, opened: bool = True, **changes: object) -> Window:
        given = {
            "sections": SECTIONS,
            "open_logbook": lambda: logbook,
            "theme": theme,
            "keeping": keeping,
            "speech": speech,
        } | changes
        window = Window(Parts(**given))  # type: ignore[arg-type]
        made.append(window)
        if not opened:
            window.assemble()
        if opened:
            with qtbot.waitSignal(window.opened, timeout=5000):
                window.show()
            window.activateWindow()
            settle(qtbot, window)
        return window

    yield make
    for window in made:
        window.goes_on_when_closed = False
        window.close()
        window.deleteLater()


def settle(qtbot: QtBot, window: Window) -> None:
    """Wait until the window's background work is done."""
    qtbot.waitUntil(lambda: not window.work.busy, timeout=5000)


def said(qtbot: QtBot, window: Window) -> str:
    """Return what the strip says once the window's background work is done."""
    settle(qtbot, window)
    return window.strip.text


def exported(qtbot: QtBot, window: Window, export: TableExport, path: Path) -> list[str]:
    """Return the lines of the file that an export writes."""
    export.write_to(path)
    settle(qtbot, window)
    return path.read_text(encoding="utf-8-sig").splitlines()
