"""Colours, text size and icons, held against WCAG 2.2 (1.4.3, 1.4.11, relative luminance)."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QColor, QImage, QPalette
from PySide6.QtWidgets import QApplication, QLabel

from tubcare.desktop.icons import Icons
from tubcare.desktop.marks import MARKS, state_word
from tubcare.desktop.resource import resource
from tubcare.desktop.shades import read_shades
from tubcare.desktop.theme import Appearance, Theme
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.shades import Shades

SHADES = read_shades()
STATES = tuple(mark.colour for mark in MARKS.values())
TEXTS = (
    ("window_text", "window"),
    ("text", "base"),
    ("text", "alternate_base"),
    ("muted", "window"),
    ("muted", "base"),
    ("muted", "alternate_base"),
    ("button_text", "button"),
    ("button_text", "button_hover"),
    ("button_text", "button_pressed"),
    ("highlighted_text", "highlight"),
    ("link", "base"),
    ("link", "window"),
    ("primary_text", "primary"),
    ("primary_text", "primary_hover"),
    ("tooltip_text", "tooltip_base"),
    ("sidebar_text", "sidebar"),
    ("sidebar_text", "sidebar_hover"),
    ("sidebar_selected_text", "sidebar_selected"),
    ("muted", "sidebar"),
    ("strip_text", "strip"),
    ("strip_link", "strip"),
    ("notice_text", "notice"),
    ("fault_text", "fault"),
    ("error", "window"),
    ("error", "base"),
    *((state, "base") for state in STATES),
    *((state, "window") for state in STATES),
    *((state, "alternate_base") for state in STATES),
)
CONTROLS = (
    ("border", "base"),
    ("border", "window"),
    ("focus", "base"),
    ("focus", "window"),
    ("focus", "sidebar"),
    ("focus", "sidebar_selected"),
    ("highlight", "base"),
    ("primary", "window"),
    ("notice_border", "notice"),
    ("fault_border", "fault"),
    ("sidebar_mark", "sidebar_selected"),
    ("disabled", "window"),
)


def luminance(colour: QColor) -> float:
    # WCAG 2.2, definition of relative luminance (sRGB, IEC 61966-2-1).
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_worked_out_as_in_the_standard() -> None:
    assert contrast(QColor("#fff"), QColor("#000")) == pytest.approx(21)
    # WCAG technique G18's well-known pair: #767676 on white is just above 4.5:1.
    assert contrast(QColor("#767676"), QColor("#fff")) == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("shades", SHADES.values(), ids=SHADES)
def test_text_can_be_read_everywhere(shades: Shades) -> None:
    poor = [
        f"{text} on {ground}: {ratio:.2f}"
        for text, ground in TEXTS
        if (ratio := contrast(shades.colour(text), shades.colour(ground))) < 4.5
    ]
    assert poor == []


@pytest.mark.parametrize("shades", SHADES.values(), ids=SHADES)
def test_outlines_focus_and_chart_series_can_be_told_from_their_ground(shades: Shades) -> None:
    pairs = [(shades.colour(a), shades.colour(b), f"{a} on {b}") for a, b in CONTROLS]
    pairs += [
        (shades.series_colour(place), shades.colour("base"), f"series {place}")
        for place in range(len(shades.series))
    ]
    poor = [f"{name}: {r:.2f}" for a, b, name in pairs if (r := contrast(a, b)) < 3]
    assert poor == []


def test_light_and_dark_name_the_same_colours() -> None:
    assert SHADES["light"].colours.keys() == SHADES["dark"].colours.keys()
    assert len(SHADES["light"].series) == len(SHADES["dark"].series)


def test_colours_stand_in_the_theme_alone() -> None:
    root = Path(__file__).resolve().parent.parent.parent
    found = []
    for path in [*root.glob("tubcare/desktop/**/*.py"), *root.glob("resources/style/*.qss")]:
        text = path.read_text(encoding="utf-8")
        wrong = re.findall(r"[\"' ]#[0-9a-fA-F]{6}\b|QColor\(\s*\d", text)
        if wrong:
            found.append((path.name, wrong))
    assert found == []


def test_the_person_chooses_colours_and_the_choice_is_kept(
    theme: Theme, qapp: QApplication, keeping: Keeping, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(theme.changed, check_params_cb=lambda shades: shades.name == "dark"):
        theme.choose(Appearance.DARK)
    assert qapp.palette().color(QPalette.ColorRole.Base) == SHADES["dark"].colour("base")
    assert keeping.text("look/appearance") == "dark"
    theme.choose(Appearance.LIGHT)
    assert qapp.palette().color(QPalette.ColorRole.Base) == SHADES["light"].colour("base")


def test_the_window_follows_the_system_while_it_runs(
    theme: Theme, qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    theme.choose(Appearance.SYSTEM)
    hints = qapp.styleHints()
    monkeypatch.setattr(type(hints), "colorScheme", lambda _: Qt.ColorScheme.Dark)
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert theme.shades.name == "dark"
    monkeypatch.undo()
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert theme.shades.name == "light"


def test_a_system_that_gives_dark_colours_is_met_with_dark_ones(
    qapp: QApplication, keeping: Keeping
) -> None:
    qapp.setPalette(SHADES["dark"].palette())
    theme = Theme(qapp, keeping)
    first = theme.shades.name
    theme.follow_system()
    assert (first, theme.shades.name) == ("dark", "dark")
    theme.close()
    assert qapp.palette().color(QPalette.ColorRole.Base).lightness() > 200


def test_what_was_kept_by_another_version_does_not_stop_the_start(
    qapp: QApplication, keeping: Keeping
) -> None:
    keeping.keep("look/appearance", "sepia")
    keeping.keep("look/text_percent", "huge")
    theme = Theme(qapp, keeping)
    assert theme.appearance is Appearance.SYSTEM
    assert theme.text_percent == 100
    theme.close()


def test_text_can_be_read_at_every_step_and_stops_at_the_ends(theme: Theme) -> None:
    for _ in range(20):
        theme.larger_text()
    assert theme.text_percent == 200
    for _ in range(20):
        theme.smaller_text()
    assert theme.text_percent == 80
    theme.normal_text()


@pytest.mark.usefixtures("theme")
def test_letters_are_really_drawn(qtbot: QtBot) -> None:
    # Without any font file Qt draws empty boxes and says nothing.
    label = QLabel("Late: rinse the filter")
    qtbot.addWidget(label)
    image = label.grab().toImage()
    colours = {image.pixel(x, y) for x in range(image.width()) for y in range(image.height())}
    assert len(colours) > 20


def names() -> list[str]:
    return sorted(path.stem for path in resource("icons").glob("*.svg"))


def test_icons_are_few_and_of_one_colour() -> None:
    assert len(names()) <= 40
    for name in names():
        text = resource("icons", f"{name}.svg").read_text(encoding="utf-8")
        assert set(re.findall(r'"(#[0-9a-f]+)"', text)) <= {"#000", "#fff"}
        assert 'viewBox="0 0 24 24"' in text


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_icons_are_drawn_in_the_colour_asked_for_at_every_scale(
    theme: Theme, scale: float
) -> None:
    icons = Icons(theme)
    for name in names():
        pixmap = icons.pixmap(name, "text", 20, scale)
        assert pixmap.width() == 20 * scale
        image = pixmap.toImage().convertToFormat(QImage.Format.Format_ARGB32)
        assert ink(image) > 20, name
        assert darkest(image).rgb() == theme.shades.colour("text").rgb(), name


def test_states_are_told_apart_without_colour(theme: Theme) -> None:
    icons = Icons(theme)
    shapes = {name: shape(icons, mark.icon) for name, mark in MARKS.items()}
    for one, other in combinations(shapes, 2):
        differing = sum(a != b for a, b in zip(shapes[one], shapes[other], strict=True))
        assert differing >= 30, (one, other)
    told = {state_word(speech_for({}, chosen="en_GB"), status) for status in MARKS}
    assert len(told) == len(MARKS)


def test_icons_are_drawn_once_and_anew_after_a_change_of_colours(theme: Theme) -> None:
    theme.choose(Appearance.LIGHT)
    icons = Icons(theme)
    action = QAction("Tick off")
    icons.put_on(action, "tick")
    before = action.icon().pixmap(20, 20).toImage()
    assert icons.pixmap("tick", "text") is icons.pixmap("tick", "text")
    theme.choose(Appearance.DARK)
    assert action.icon().pixmap(20, 20).toImage() != before
    theme.choose(Appearance.LIGHT)


def shape(icons: Icons, name: str) -> list[bool]:
    image = icons.pixmap(name, "text", 24, 1.0).toImage()
    return [image.pixelColor(x, y).alpha() > 100 for x in range(24) for y in range(24)]


def ink(image: QImage) -> int:
    spots = ((x, y) for x in range(image.width()) for y in range(image.height()))
    return sum(image.pixelColor(x, y).alpha() > 100 for x, y in spots)


def darkest(image: QImage) -> QColor:
    spots = [(x, y) for x in range(image.width()) for y in range(image.height())]
    solid = [image.pixelColor(x, y) for x, y in spots if image.pixelColor(x, y).alpha() == 255]
    return min(solid, key=lightness)


def lightness(colour: QColor) -> int:
    return colour.lightness()
