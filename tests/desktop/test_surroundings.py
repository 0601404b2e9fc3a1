"""What is around the window: help, about, tray, second starts, errors nobody caught."""

from __future__ import annotations

import subprocess
import sys
import threading
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QProcess, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tubcare import __version__
from tubcare.desktop.edge import Edge
from tubcare.desktop.faults import explain
from tubcare.desktop.help_screen import HelpScreen, chapters
from tubcare.desktop.page_list import ABOUT, HELP
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.single_instance import SingleInstance
from tubcare.desktop.tray import Tray
from tubcare.desktop.work import Fault
from tubcare.errors import InputError, NotFoundError, StoreFullError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tests.desktop.fake_section import NotesLogbook
    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.shell import Window
    from tubcare.words.locale import Speech


def test_every_section_has_its_chapter_of_help() -> None:
    assert {section.key for section in SECTIONS} <= chapters()


@pytest.mark.parametrize("key", [HELP, ABOUT])
def test_nothing_is_wrong_with_help_and_about(
    make_window: Callable[..., Window], qtbot: QtBot, key: str
) -> None:
    window = make_window()
    window.go(key)
    settle(qtbot, window)
    assert audit(window) == []


def test_f1_opens_the_chapter_of_the_page_and_back_returns(
    make_window: Callable[..., Window],
) -> None:
    window = make_window()
    window.resize(800, 500)
    window.go("ledger")
    QTest.keyClick(window, Qt.Key.Key_F1)
    help_screen = window.screens.current
    assert isinstance(help_screen, HelpScreen)
    assert help_screen.text.verticalScrollBar().value() > 0
    window.menus.back.trigger()
    assert window.screens.key == "ledger"


def test_diagnostics_name_versions_and_file_and_hold_no_records(
    make_window: Callable[..., Window], logbook: NotesLogbook
) -> None:
    window = make_window()
    window.menus.about.trigger()
    screen = window.screens.current
    assert screen is not None
    screen.menu_actions[0].trigger()
    text = QGuiApplication.clipboard().text()
    for wanted in (__version__, "SQLite: 3.", "PySide6: ", logbook.place):
        assert wanted in text
    assert logbook.notes[0] not in text


@pytest.fixture
def quits_as_before() -> Iterator[None]:
    yield
    QGuiApplication.setQuitOnLastWindowClosed(True)


@pytest.mark.usefixtures("quits_as_before")
@pytest.mark.qt_log_ignore("propagateSizeHints", "systemTrayWindowChanged", "raise")
def test_with_a_tray_closing_goes_on_says_so_once_and_can_be_switched_off(
    make_window: Callable[..., Window], keeping: Keeping, logbook: NotesLogbook
) -> None:
    window = make_window()
    tray = Tray(window, keeping, available=True)
    assert tray.setting in window.menus.file.actions()
    window.close()
    assert (window.isHidden(), logbook.closed) == (True, False)
    tray.show_window()
    assert not window.isHidden()
    assert "went on" in window.strip.text
    window.strip.put_away()
    window.close()
    tray.show_window()
    assert window.strip.text == ""
    tray.setting.setChecked(False)
    window.close()
    assert logbook.closed
    assert not Tray(window, keeping, available=True).setting.isChecked()


def test_without_a_tray_closing_ends(
    make_window: Callable[..., Window], keeping: Keeping, logbook: NotesLogbook
) -> None:
    window = make_window()
    tray = Tray(window, keeping, available=False)
    assert not tray.setting.isEnabled()
    window.close()
    assert logbook.closed


def test_one_window_has_the_place_and_hears_the_second_start(tmp_path: Path, qtbot: QtBot) -> None:
    first = SingleInstance(str(tmp_path / "a.db"), folder=tmp_path)
    other = SingleInstance(str(tmp_path / "b.db"), folder=tmp_path)
    assert not first.hand_over_if_taken()
    assert not other.hand_over_if_taken()
    first.listen()
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from PySide6.QtCore import QCoreApplication\n"
        "from tubcare.desktop.single_instance import SingleInstance\n"
        "app = QCoreApplication([])\n"
        "second = SingleInstance(sys.argv[1], folder=Path(sys.argv[2]))\n"
        "sys.exit(0 if second.hand_over_if_taken(['task', '7']) else 1)\n"
    )
    process = QProcess()
    process.setProgram(sys.executable)
    process.setArguments(["-c", code, str(tmp_path / "a.db"), str(tmp_path)])
    with qtbot.waitSignal(first.asked_for, timeout=10_000) as heard:
        process.start()
    qtbot.waitUntil(lambda: process.state() is QProcess.ProcessState.NotRunning, timeout=10_000)
    assert heard.args == [("task", "7")]
    assert process.exitCode() == 0
    first.release()
    other.release()


def test_the_place_is_free_again_after_a_crash(tmp_path: Path) -> None:
    code = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from tubcare.desktop.single_instance import SingleInstance\n"
        "SingleInstance(sys.argv[1], folder=Path(sys.argv[2])).acquire()\n"
        "os.kill(os.getpid(), 9)\n"
    )
    arguments = [sys.executable, "-c", code, str(tmp_path / "a.db"), str(tmp_path)]
    subprocess.run(arguments, check=False)
    again = SingleInstance(str(tmp_path / "a.db"), folder=tmp_path)
    assert again.acquire()
    again.release()


@pytest.mark.logs
def test_errors_nobody_caught_are_told_whatever_their_thread() -> None:
    told: list[Fault] = []
    edge = Edge(told.append)
    edge.install()
    try:
        sys.excepthook(ValueError, ValueError("in the window"), None)
        thread = threading.Thread(target=fail)
        thread.start()
        thread.join()
    finally:
        edge.remove()
    assert [str(fault.error) for fault in told] == ["in the window", "in a thread"]


def fail() -> None:
    raise ValueError("in a thread")


@pytest.mark.parametrize(
    "error",
    [
        StoreFullError("/x/tub.db", "the disk is full. Make room and try again"),
        InputError("paid", "write it like 12.50"),
        NotFoundError("task", 7),
        ZeroDivisionError("division by zero"),
    ],
)
def test_errors_are_told_with_what_happened_what_is_kept_and_without_jargon(
    error: Exception, speech: Speech
) -> None:
    told = explain(Fault(title="Adding a note", error=error), speech)
    assert told.happened.startswith("Adding a note")
    assert "kept" in told.kept or "recorded" in told.kept
    assert type(error).__name__ in told.details
    words = f"{told.happened} {told.text}".casefold()
    assert not [bad for bad in ("error", "failed", "invalid", "exception") if bad in words]


def test_strange_words_of_a_notice_are_shown_as_they_are(
    make_window: Callable[..., Window],
) -> None:
    window = make_window()
    window.tell_fault(Fault(title="<i>x</i>", error=ValueError("{odd} & <b>")))
    buttons = [b.text() for b in window.notices.findChildren(QPushButton)]
    assert buttons == ["Details", "Copy details", "Close"]


def test_two_thousand_signals_do_not_end_the_process() -> None:
    # PySide6 6.12.0 on Python 3.11 loses references to True and None and aborts.
    code = (
        "from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal\n"
        "class Sender(QObject):\n"
        "    sent = Signal(object)\n"
        "app = QCoreApplication([])\n"
        "sender, timer = Sender(), QTimer()\n"
        "sender.sent.connect(bool)\n"
        "for _ in range(2000):\n"
        "    sender.sent.emit(True); timer.start(1000); timer.stop()\n"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
