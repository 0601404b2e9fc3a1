"""The products on the shelf: which must never meet, and keeping one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import desk_on
from tubcare.services.water_supplies import water_shelf
from tubcare.water.compounds import Compound

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


def test_products_that_must_never_meet_are_named_above_the_shelf(screen: WaterScreen) -> None:
    screen.show_subject("shelf")
    told = screen.shelf().apart.text()
    assert "Bleach and pH minus" in told
    assert "toxic gas" in told


def test_a_product_is_kept_from_its_form_and_a_bad_strength_is_said_beside_it(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("shelf")
    form = screen.shelf().product_form
    assert form is not None
    form.name.setText("Soda")
    form.compound.setCurrentIndex(form.compound.findData(Compound.SODA_ASH.value))
    form.strength.setText("140")
    QTest.keyClick(form.strength, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(form.error_of("strength")))
    form.strength.setText("99")
    QTest.keyClick(form.strength, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Kept: Soda" in window.strip.text)
    desk = desk_on(path)
    assert "Soda" in {each.label.name for each in water_shelf(desk).products}
    desk.store.close()
