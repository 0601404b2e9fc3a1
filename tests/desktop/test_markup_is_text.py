"""Markup in what a person typed is shown as the characters that were typed, in every section."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QLabel, QTextBrowser

from tests.desktop.conftest import settle
from tests.desktop.desks import NOW, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.desktop.sections import SECTIONS
from tubcare.ledger.categories import SpendCategory
from tubcare.services.measures import add_dip, add_readings
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.tasks import open_key
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_put_off import put_off
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

MARKUP = "<b>bold</b> <img src=x> &amp;"


def write_markup_everywhere(path: Path) -> None:
    """Type markup into every field that takes free text."""
    desk = new_desk(path)
    tub = add_tub(desk, name=f"Tub {MARKUP}", zone="UTC")
    done = add_task(desk, tub, title=f"Done {MARKUP}", round_name=f"Round {MARKUP}")
    moved = add_task(desk, tub, title=f"Moved {MARKUP}", round_name=f"Round {MARKUP}")
    add_task(desk, tub, title=f"Due {MARKUP}")
    tick_off(desk, done, open_key(desk, done) or "", Work(note=MARKUP, person=MARKUP))
    put_off(desk, moved, open_key(desk, moved) or "", NOW.date().replace(day=20), MARKUP)
    add_dip(desk, tub, person=MARKUP, note=MARKUP)
    add_readings(desk, tub, {"ph": 8.2}, note=MARKUP)
    other = SpendCategory.OTHER
    pay(desk, DirectPurchase(on=NOW.date(), category=other, minor=5, payee=MARKUP, note=MARKUP))
    buy_stock(
        desk,
        StockPurchase(
            on=NOW.date(),
            supply=f"Oil {MARKUP}",
            unit="ml",
            category=other,
            quantity_milli=1000,
            minor=5,
            note=MARKUP,
        ),
    )
    desk.store.close()


def shown_as_markup(window: Window) -> list[str]:
    """Return the texts that a widget would read as markup of the person's."""
    labels = [each for each in window.findChildren(QLabel) if "<b>bold" in each.text()]
    rich = [each.text() for each in labels if each.textFormat() is not Qt.TextFormat.PlainText]
    pages = window.findChildren(QTextBrowser)
    return rich + [page.toHtml()[:200] for page in pages if ">bold<" in page.toHtml()]


def texts_of(view: QAbstractItemView) -> list[str]:
    """Return what the items of a list show, as the model gives it."""
    model = view.model()
    found, waiting = [], [QModelIndex()]
    while waiting and model is not None:
        parent = waiting.pop()
        for row in range(model.rowCount(parent)):
            found += [str(model.index(row, column, parent).data()) for column in range(8)]
            waiting.append(model.index(row, 0, parent))
    return found


@pytest.mark.parametrize("section", [each.key for each in SECTIONS])
def test_markup_stays_text_in_every_section(
    make_window: Callable[..., Window], qtbot: QtBot, tmp_path: Path, section: str
) -> None:
    write_markup_everywhere(tmp_path / "a.db")
    window = window_on(make_window, tmp_path / "a.db")
    window.screens.show_section(section)
    settle(qtbot, window)
    listed = [text for view in window.findChildren(QAbstractItemView) for text in texts_of(view)]
    assert any(MARKUP in text for text in listed)
    assert shown_as_markup(window) == []
