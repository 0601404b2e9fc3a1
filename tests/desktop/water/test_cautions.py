"""Every product's own cautions stand beside its dose in the window, whatever treats the tub."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from tests.desktop.desks import new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.desktop.water_screen import WaterScreen
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.measures import add_readings
from tubcare.services.tubs import change_profile, tubs
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_shelf import put_product
from tubcare.values import Sanitiser
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk

LACKING = {
    Compound.SODIUM_HYPOCHLORITE: (Sanitiser.CHLORINE, "free_chlorine_mg_l", 0.2),
    Compound.BROMINE_TABLET: (Sanitiser.BROMINE, "bromine_mg_l", 0.2),
    Compound.HYDROGEN_PEROXIDE: (Sanitiser.HYDROGEN_PEROXIDE, "peroxide_mg_l", 2.0),
}


def logbook(path: Path, sanitiser: Sanitiser = Sanitiser.CHLORINE) -> Desk:
    desk = new_desk(path)
    tub = add_tub(desk, zone="UTC")
    change_profile(desk, tub, replace(tubs(desk)[0].profile, sanitiser=sanitiser))
    return desk


def test_the_form_for_a_dose_shows_the_cautions_of_every_product_there_is(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    desk = logbook(tmp_path / "a.db")
    for compound in Compound:
        put_product(desk, replace(usual_product(compound), name=compound.value))
    desk.store.close()
    window = window_on(make_window, tmp_path / "a.db")
    window.go("water")
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    screen.show_subject("plan")
    form = screen.plan().other
    qtbot.waitUntil(lambda: form.product.count() == len(Compound))
    for place in range(form.product.count()):
        form.product.setCurrentIndex(place)
        compound = Compound(form.product.currentText().partition(" ")[0])
        shown = form.cautions.text()
        assert [c.key for c in caution_book().of(compound) if c.text not in shown] == []


@pytest.mark.parametrize("compound", LACKING)
def test_a_planned_dose_of_each_sanitiser_stands_with_its_cautions_on_page_and_in_the_week(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path, compound: Compound
) -> None:
    sanitiser, name, value = LACKING[compound]
    desk = logbook(tmp_path / "a.db", sanitiser)
    tub = tubs(desk)[0].id
    put_product(desk, replace(usual_product(compound), name="Stuff"))
    add_readings(desk, tub, {"ph": 7.3, "alkalinity_mg_l": 50.0, "water_c": 6.0, name: value})
    triggers = [{"kind": "reading", "when": f"{name} outside range"}]
    add_task(desk, tub, title="Sanitise", category="water", triggers=triggers)
    desk.store.close()
    window = window_on(make_window, tmp_path / "a.db")
    window.go("water")
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    screen.show_subject("plan")
    qtbot.waitUntil(lambda: bool(screen.plan().cards))
    labels = [c for card in screen.plan().cards for c in card.findChildren(QLabel)]
    on_page = " ".join(label.text() for label in labels)
    window.go("week")
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    qtbot.waitUntil(lambda: week.model.first_task() is not None)
    in_week = week.model.item(0).child(0, 3).data(Qt.ItemDataRole.ToolTipRole)
    for caution in caution_book().of(compound):
        assert caution.text in on_page
        assert caution.text in in_week
