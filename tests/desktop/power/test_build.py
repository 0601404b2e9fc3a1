"""How a tub is built, as the model of its power takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import TUB, turn
from tubcare.energy.chiller import Evaporator
from tubcare.services.power_build import read_build

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_the_build_is_kept_and_can_follow_the_profile_again(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "build")
    assert not power.build().reset_action.isEnabled()
    power.build().form.wall_layers.setText("XPS 80, softwood 20")
    power.build().keep()
    settle(qtbot, window)
    with desk.read() as connection:
        kept = read_build(connection, TUB).described
    assert kept.wall_layers == (("xps", 80.0), ("softwood", 20.0))
    power.build().reset()
    settle(qtbot, window)
    assert power.build().form.wall_layers.text() == ""


def test_the_build_shows_the_cautions_of_the_kind_that_is_chosen(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    form = turn(qtbot, screen, "build").build().form
    said = " ".join(label.text() for label in form.findChildren(QLabel))
    assert "Ice on the coil means thaw" in said
    assert "lowest ambient on its label" in said
    form.evaporator.setCurrentIndex(form.evaporator.findData(Evaporator.FLOW_THROUGH.value))
    assert "without flow it has to be off at once" in " ".join(
        label.text() for label in form.findChildren(QLabel)
    )


def test_an_unknown_material_is_refused_beside_its_field(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "build")
    power.build().form.wall_layers.setText("straw 80")
    power.build().keep()
    assert "softwood" in power.build().form.error_of("wall_layers")
