"""Every page of the section by keyboard, by name and with room."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.audit import audit, clipped

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


@pytest.mark.parametrize(
    "page", ["now", "entry", "plan", "course", "shelf", "kit", "ranges", "files"]
)
def test_every_page_has_names_room_and_a_way_through_by_keyboard(
    qtbot: QtBot, window: Window, screen: WaterScreen, page: str
) -> None:
    screen.show_subject(page)
    qtbot.waitUntil(lambda: not window.work.busy)
    # The height follows the wrapped text one turn of the loop later.
    qtbot.waitUntil(lambda: not clipped(window))
    assert audit(window) == []
