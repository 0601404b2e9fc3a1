"""How the calendar looks: audited, readable, whole in a small window, written to a file."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from tests.desktop.audit import audit
from tests.desktop.calendar.conftest import TODAY, action_of, go
from tests.desktop.desks import desk_on, new_desk
from tests.desktop.test_theme import STATES, contrast, shape
from tests.support.plans import add_task
from tubcare.desktop.calendar_drawing import season_shade
from tubcare.desktop.icons import Icons
from tubcare.desktop.marks import MARKS
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QColor
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.calendar_screen import CalendarScreen
    from tubcare.desktop.screen import Screen
    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme


def test_the_calendar_passes_the_audit_with_both_views(
    window: Window, screen: CalendarScreen
) -> None:
    window.resize(1280, 800)
    assert audit(window) == []
    action_of(screen, "Month or &agenda").trigger()
    assert audit(window) == []


@pytest.mark.parametrize("appearance", ["light", "dark"])
def test_text_can_be_read_on_the_shading_of_the_season(theme: Theme, appearance: str) -> None:
    # WCAG 2.2, 1.4.3: 4.5:1.
    from tubcare.desktop.theme import Appearance

    theme.choose(Appearance(appearance))
    shades = theme.shades
    grounds: tuple[QColor, ...] = (season_shade(theme), shades.colour("band"))
    poor = [
        role
        for role in ("text", "muted", "link", *STATES)
        for ground in grounds
        if contrast(shades.colour(role), ground) < 4.5
    ]
    assert poor == []
    theme.choose(Appearance.SYSTEM)


def test_what_is_foreseen_has_a_shape_of_its_own(theme: Theme) -> None:
    icons = Icons(theme)
    foreseen = shape(icons, "foreseen")
    for mark in MARKS.values():
        other = shape(icons, mark.icon)
        assert sum(a != b for a, b in zip(foreseen, other, strict=True)) >= 30, mark.icon


@pytest.mark.parametrize("percent", ["100", "150"])
def test_the_calendar_and_the_grid_fit_the_smallest_window(
    qtbot: QtBot, window: Window, theme: Theme, percent: str
) -> None:
    # 1024 x 600 with the usual text; half as large again needs 1280 x 720.
    while theme.text_percent < int(percent):
        theme.larger_text()
    wide, high = {"100": (1024, 600), "150": (1280, 720)}[percent]
    for key in ("calendar", "catch_up"):
        window.go(key)
        qtbot.waitUntil(lambda: not window.work.busy)
        least = window.minimumSizeHint()
        assert (least.width() <= wide, least.height() <= high) == (True, True), key


def test_a_title_with_angle_brackets_is_shown_as_text(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    desk = desk_on(path)
    add_task(desk, this_week(desk).late[0].tub, title="<b>Rinse</b> & dry", starts_on=TODAY)
    desk.store.close()
    screen.refresh()
    on = TODAY + timedelta(days=30)
    go(qtbot, screen, on)
    tip = screen.views.model.index_of(on).data(Qt.ItemDataRole.ToolTipRole)
    assert "&lt;b&gt;Rinse&lt;/b&gt; &amp; dry" in str(tip)
    assert screen.views.panel.why.textFormat() is Qt.TextFormat.PlainText


def test_without_a_tub_it_says_why_it_is_empty_and_offers_to_describe_one(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    desk = new_desk(tmp_path / "empty.db")
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(desk))
    for key in ("calendar", "catch_up"):
        window.go(key)
        qtbot.waitUntil(lambda: not window.work.busy)
        screen = window.screens.current
        assert screen is not None
        enabled = [a.text() for a in screen.menu_actions if a.isEnabled()]
        assert enabled == ["Desc&ribe a tub…"]
        assert audit(window) == []
        screen.menu_actions[enabled_at(screen)].trigger()
        assert window.screens.key == "tub"


def enabled_at(screen: Screen) -> int:
    return next(n for n, action in enumerate(screen.menu_actions) if action.isEnabled())


def test_the_plan_is_written_for_other_calendar_programs(
    qtbot: QtBot, window: Window, screen: CalendarScreen, tmp_path: Path
) -> None:
    target = tmp_path / "plan.ics"
    screen.export.export_to(target)
    qtbot.waitUntil(lambda: str(target) in window.strip.text)
    text = target.read_bytes().decode()
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert "SUMMARY:Test the water · South" in text
    screen.export.export_to(tmp_path / "nowhere" / "plan.ics")
    qtbot.waitUntil(lambda: "Choose another place" in window.strip.text)
