"""Ideas for using less or paying less: typed, compared, left out and exported."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import exported, settle
from tests.desktop.power_plans.conftest import BY_TIME, TUB, Shown
from tests.support.chilled import SUNNY_MEANS as MEANS
from tubcare.desktop.buttons import ActionButton
from tubcare.energy.tariff_plan import TariffKind
from tubcare.services.power_weather import type_monthly_means
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.services.desk import Desk


def test_without_weather_or_price_the_way_out_is_told(
    open_page: Callable[[str], Shown], qtbot: QtBot, desk: Desk
) -> None:
    window, power = open_page("ideas")
    missing = power.ideas().missing
    labels = [each for each in missing.findChildren(QLabel) if each.isVisible()]
    assert any("twelve monthly means" in each.text() for each in labels)
    (button,) = [each for each in missing.findChildren(ActionButton) if each.isVisible()]
    button.click()
    settle(qtbot, window)
    assert power.tabs.currentWidget() is power.weather
    type_monthly_means(desk, TUB, MEANS)
    window.go("power", "ideas")
    power.ideas().read()
    settle(qtbot, window)
    (button,) = [each for each in missing.findChildren(ActionButton) if each.isVisible()]
    assert button.text() == "Set the price of power"


def test_ideas_are_compared_added_and_left_out(ideas_page: Shown, qtbot: QtBot) -> None:
    window, power = ideas_page
    before = len(power.ideas().model.rows)
    form = power.ideas().form
    form.kind.setCurrentIndex(form.kind.findData("lid"))
    form.build_up.choose("wood_lid_20")
    for price in ("", "60"):
        form.price.setText(price)
        power.ideas().add()
        settle(qtbot, window)
    # Typed again with a price it stands once.
    assert len(power.ideas().model.rows) == before + 1
    last = power.ideas().model.rows[-1]
    assert last.idea is not None
    assert last.idea.price_minor == 6000
    power.ideas().table.setCurrentIndex(power.ideas().model.index(before, 0))
    power.ideas().remove()
    settle(qtbot, window)
    assert len(power.ideas().model.rows) == before


def test_cost_saving_and_pay_back_are_shown_with_their_ranges(
    ideas_page: Shown, qtbot: QtBot
) -> None:
    window, power = ideas_page
    form = power.ideas().form
    form.kind.setCurrentIndex(form.kind.findData("pump_hours"))
    form.amount.setText("4")
    form.price.setText("60")
    power.ideas().add()
    settle(qtbot, window)
    model = power.ideas().model
    row = [str(model.data(model.index(model.rowCount() - 1, column))) for column in (2, 3, 5)]
    assert all(" to " in cell and cell.endswith(")") for cell in row)


def test_moving_to_one_price_and_to_other_times_of_day_is_compared(
    ideas_page: Shown, qtbot: QtBot
) -> None:
    window, power = ideas_page
    ideas = power.ideas()
    flat = ideas.model.rows[-1].idea
    assert flat is not None
    assert flat.tariff == replace(BY_TIME, kind=TariffKind.FLAT)
    form = ideas.form
    form.kind.setCurrentIndex(form.kind.findData("tariff"))
    form.amount.setText("0.35")
    form.bands.setText("22:00-06:00")
    ideas.add()
    assert "22:00-06:00 0.12" in form.error_of("bands")
    form.bands.setText("22:00-06:00 0.12")
    ideas.add()
    settle(qtbot, window)
    assert ideas.model.data(ideas.model.index(ideas.model.rowCount() - 1, 0)) == (
        "By time of day: 22:00-06:00 0.12, else 0.35"
    )


def test_an_idea_without_a_number_is_told_beside_its_field(ideas_page: Shown) -> None:
    _window, power = ideas_page
    power.ideas().add()
    assert power.ideas().form.error_of("set_point_c")


def test_a_set_point_is_typed_in_the_units_of_the_person(
    open_priced: Callable[..., Shown], qtbot: QtBot
) -> None:
    american = speech_for({}, chosen="en_US", currency_code="USD")
    window, power = open_priced("ideas", speech=american)
    form = power.ideas().form
    assert not form.set_point.isHidden()
    assert form.amount.isHidden()
    form.set_point.setText("50")
    power.ideas().add()
    settle(qtbot, window)
    last = power.ideas().model.rows[-1].idea
    assert last is not None
    assert last.amount == pytest.approx(10.0)


def test_the_table_of_ideas_is_exported(ideas_page: Shown, qtbot: QtBot, tmp_path: Path) -> None:
    window, power = ideas_page
    lines = exported(qtbot, window, power.ideas().export, tmp_path / "ideas.csv")
    assert lines[0].startswith("idea,kWh,cost EUR")
    assert lines[1].startswith("As it is,")
