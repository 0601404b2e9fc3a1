"""What every window must hold, found by looking at it as a screen reader and a keyboard do.

    assert audit(window) == []

Names and roles (WCAG 2.2, 4.1.2), targets of 24 px (2.5.8), all reached by Tab and none a trap
(2.1.1, 2.1.2), reading order (2.4.3), no key twice, no text cut off (1.4.4).
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, TypeGuard, cast

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QAction, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMainWindow,
    QMenu,
    QPlainTextEdit,
    QRadioButton,
    QTextEdit,
    QToolButton,
    QWidget,
)

from tubcare.desktop.scrolling import PageArea

if TYPE_CHECKING:
    from collections.abc import Iterator

_NAMED = {
    "Button",
    "ButtonMenu",
    "CheckBox",
    "RadioButton",
    "EditableText",
    "ComboBox",
    "SpinBox",
    "Table",
    "List",
    "Tree",
    "PageTab",
    "Slider",
    "MenuItem",
    "Dialog",
    "Window",
}
_OPERABLE = (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QTextEdit,
    QPlainTextEdit,
)
_PARTS_OF_QT = {"qt_spinbox_lineedit", "qt_toolbar_ext_button", "qt_tableview_cornerbutton"}
_LEAST_PX = 24
_DEPTH = 25
_CHILDREN = 300


def audit(window: QWidget, skip: tuple[str, ...] = ()) -> list[str]:
    """Return all that is wrong with a shown window, in words; empty when nothing is."""
    checks = (unnamed, small_targets, tab_faults, doubled_keys, clipped)
    return [fault for check in checks if check.__name__ not in skip for fault in check(window)]


def unnamed(window: QWidget) -> list[str]:
    """Return controls that a screen reader cannot name."""
    return [
        f"no accessible name: {one.role().name} {_class_of(one)}"
        for one in accessible(window)
        if one.role().name in _NAMED
        and not one.text(QAccessible.Text.Name)
        and not one.state().invisible
    ]


def small_targets(window: QWidget) -> list[str]:
    """Return controls that are hard to hit."""
    return [
        f"target {w.width()}x{w.height()}: {_told(w)}"
        for w in window.findChildren(QWidget)
        if _operable(w) and w.isVisible() and min(w.width(), w.height()) < _LEAST_PX
    ]


def tab_faults(window: QWidget) -> list[str]:
    """Return what Tab cannot reach, cannot leave, or visits out of order."""
    chain, trap = _tab_chain(window)
    found = [f"Tab is trapped in {_told(trap)}"] if trap is not None else []
    found += [
        f"keyboard cannot reach: {_told(w)}"
        for w in window.findChildren(QWidget)
        if _operable(w) and w.isVisible() and w.isEnabled() and w not in chain
        if not _in_row(w) and not _beside_reached(w, chain)
    ]
    places = [w.mapTo(window, QPoint(0, 0)) for w in chain]
    for before, here, widget in zip(places, places[1:], chain[1:], strict=False):
        if here.y() + 8 < before.y() and here.x() <= before.x():
            found.append(f"focus jumps back up to {_told(widget)}")
    return found


def _beside_reached(widget: QWidget, chain: list[QWidget]) -> bool:
    """Return whether arrow keys reach it from a radio button of its group that Tab reaches."""
    group = widget.group() if isinstance(widget, QRadioButton) else None
    return group is not None and any(button in chain for button in group.buttons())


def _in_row(widget: QWidget) -> bool:
    """Return whether it stands in a row of a view, which is reached and acted on as a whole."""
    parent = widget.parent()
    view = parent.parent() if parent is not None else None
    return isinstance(view, QAbstractItemView) and view.viewport() is parent


def doubled_keys(window: QWidget) -> list[str]:
    """Return shortcuts and mnemonics that two things answer to."""
    actions = [a for a in window.findChildren(QAction) if _is_in_use(a)]
    keys = Counter(k.toString() for a in actions for k in a.shortcuts())
    keys.update(s.key().toString() for s in window.findChildren(QShortcut))
    found = [f"shortcut {key} used {n} times" for key, n in keys.items() if key and n > 1]
    groups = [("window", _texts_of(window))]
    groups += [(m.title(), [a.text() for a in m.actions()]) for m in window.findChildren(QMenu)]
    for name, texts in groups:
        letters = Counter(filter(None, map(_mnemonic, texts)))
        found += [f"Alt+{key} used {n} times in {name}" for key, n in letters.items() if n > 1]
    return found


def clipped(window: QWidget) -> list[str]:
    """Return texts that have less room than they need."""
    found = []
    for w in window.findChildren(QWidget):
        if not isinstance(w, QLabel | QAbstractButton) or not w.isVisible() or not w.text():
            continue
        if _is_part(w):
            continue
        need = w.minimumSizeHint()
        if isinstance(w, QLabel) and w.wordWrap():
            bad = w.heightForWidth(w.width()) > w.height()
        else:
            bad = need.width() > w.width() or need.height() > w.height()
        if bad:
            has = f"{w.width()}x{w.height()}"
            found.append(f"clipped {w.text()[:40]!r}: {has}, needs {need.width()}x{need.height()}")
    return found


def cut_sideways(window: QWidget) -> list[str]:
    """Return pages that are wider than what scrolls them."""
    return [
        f"{area.page.width()} px of page in {area.viewport().width()} px"
        for area in window.findChildren(PageArea)
        if area.isVisible() and area.page.width() > area.viewport().width()
    ]


def accessible(widget: QWidget) -> Iterator[QAccessibleInterface]:
    """Yield what a screen reader sees, the widget itself first."""

    def down(one: QAccessibleInterface | None, depth: int) -> Iterator[QAccessibleInterface]:
        if one is None or not one.isValid() or depth > _DEPTH:
            return
        yield one
        for place in range(min(one.childCount(), _CHILDREN)):
            yield from down(one.child(place), depth + 1)

    yield from down(QAccessible.queryAccessibleInterface(widget), 0)


def _tab_chain(window: QWidget, limit: int = 300) -> tuple[list[QWidget], QWidget | None]:
    # By pressing Tab: nextInFocusChain() of PySide6 6.11 crashes at exit.
    window.activateWindow()
    QTest.qWaitForWindowActive(window, 1000)
    before = QApplication.focusWidget()
    chain: list[QWidget] = []
    trap = None
    if before is not None:
        before.clearFocus()
    for _ in range(limit):
        focused = QApplication.focusWidget()
        QTest.keyClick(focused or window, Qt.Key.Key_Tab)
        now = QApplication.focusWidget()
        if now is not None and now is focused:
            trap = now
        if now is None or now is focused or now in chain:
            break
        chain.append(now)
    if before is not None:
        before.setFocus()
    if not chain:
        return chain, trap
    first = min(range(len(chain)), key=lambda k: _place(chain[k], window))
    return chain[first:] + chain[:first], trap


def _place(widget: QWidget, window: QWidget) -> tuple[int, int]:
    at = widget.mapTo(window, QPoint(0, 0))
    return at.x() // 12, at.y()


def _operable(widget: QWidget) -> TypeGuard[QWidget]:
    if not isinstance(widget, _OPERABLE) or _is_part(widget):
        return False
    return not (isinstance(widget, QToolButton) and widget.defaultAction() is not None)


def _is_part(widget: QWidget) -> bool:
    return (
        widget.objectName() in _PARTS_OF_QT
        or isinstance(widget, QHeaderView)
        or isinstance(widget.parent(), QComboBox | QAbstractSpinBox | QLineEdit)
        or type(widget.window()).__name__ == "QComboBoxPrivateContainer"
    )


def _is_in_use(action: QAction) -> bool:
    return any(
        isinstance(w, QWidget) and (w.isVisible() or isinstance(w, QMenu))
        for w in action.associatedObjects()
    )


def _texts_of(window: QWidget) -> list[str]:
    texts = [
        w.text()
        for w in window.findChildren(QWidget)
        if isinstance(w, QAbstractButton | QLabel) and w.isVisible()
    ]
    if isinstance(window, QMainWindow):
        texts += [a.text() for a in window.menuBar().actions()]
    return texts


def _mnemonic(text: str) -> str:
    plain = text.replace("&&", "")
    at = plain.find("&")
    return plain[at + 1].lower() if 0 <= at < len(plain) - 1 else ""


def _class_of(one: QAccessibleInterface) -> str:
    # None for a menu item, whatever the type stubs say.
    thing = cast("QWidget | None", one.object())
    return thing.metaObject().className() if thing is not None else ""


def _told(widget: QWidget) -> str:
    text = widget.text() if isinstance(widget, QAbstractButton | QLineEdit) else ""
    return f"{type(widget).__name__} {widget.objectName() or widget.accessibleName() or text!r}"
