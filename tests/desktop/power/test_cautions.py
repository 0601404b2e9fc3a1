"""The cautions of electricity and frost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel

from tests.desktop.power.conftest import turn

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window


def test_every_caution_is_shown_with_its_source(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "cautions")
    texts = [label.text() for label in power.cautions().findChildren(QLabel)]
    told = [text for text in texts if text.startswith("Caution:")]
    assert len(told) == sum(text.startswith("Source:") for text in texts) > 15
    assert any("15 °C or below" in text for text in told)
