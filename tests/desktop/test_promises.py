"""What the window promises wherever one is: nothing modal by itself, known keys, undo of all."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest

from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

NOW = noon(2026, 5, 6)
DESKTOP = Path(__file__).resolve().parents[2] / "tubcare" / "desktop"
MODAL = {"QMessageBox", "QInputDialog", "QErrorMessage", "QProgressDialog", "QWizard"}
# The person asked for these: each opens from an action that ends in an ellipsis.
ASKED_FOR = {"QFileDialog", "QPrintDialog"}


def names(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield f".{node.func.attr}"


def test_no_window_stands_in_the_way_of_another() -> None:
    """No question, progress or error is modal (common practice of desktop guidelines)."""
    used = {path.name: set(names(path)) for path in DESKTOP.rglob("*.py")}
    assert {name for name, found in used.items() if found & MODAL} == set()
    assert {name for name, found in used.items() if ".exec" in found} == {"loop.py"}


def test_the_usual_keys_do_the_usual_things(make_window: Callable[..., Window]) -> None:
    menus = make_window().menus
    expected = {
        menus.undo: "Ctrl+Z",
        menus.redo: "Ctrl+Shift+Z",
        menus.quit: "Ctrl+Q",
        menus.close_window: "Ctrl+W",
        menus.settings: "Ctrl+,",
        menus.help_page: "F1",
        menus.refresh: "F5",
    }
    assert {a: a.shortcut() for a in expected} == {
        a: QKeySequence(keys) for a, keys in expected.items()
    }


def test_undo_in_the_window_restores_every_table(
    make_window: Callable[..., Window], qtbot: QtBot, tmp_path: Path
) -> None:
    store = open_store(tmp_path / "a.db", NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC")
    add_task(desk, tub, usual_minor=250)
    before = facts(store)
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(
            Desk(open_store(tmp_path / "a.db", NOW), StillClock(NOW), "Ann")
        ),
    )
    screen = window.screens.current
    assert isinstance(screen, WeekScreen)
    settle(qtbot, window)
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    settle(qtbot, window)
    assert facts(store) != before
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: "Taken back" in window.strip.text)
    assert facts(store) == before
    store.close()
