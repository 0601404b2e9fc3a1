"""What the ledger is measured by: budgets of a year, prices of power and water."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.ledger.conftest import quiet
from tubcare.desktop.ledger_settings import BudgetForm, PriceForm
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import budgets
from tubcare.services.prices import prices

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.ledger_screen import LedgerScreen
    from tubcare.services.desk import Desk


@pytest.fixture
def budget_form(qtbot: QtBot, screen: LedgerScreen) -> BudgetForm:
    screen.writer.budgets()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, BudgetForm)
    return form


def test_budgets_of_a_year_are_kept_by_kind(
    qtbot: QtBot, screen: LedgerScreen, budget_form: BudgetForm, desk: Desk
) -> None:
    assert budget_form.year.currentData() == 2026
    budget_form.amounts[SpendCategory.POWER].setText("140")
    budget_form.amounts[SpendCategory.FILTERS].setText("30")
    screen.side.save()
    qtbot.waitUntil(lambda: "budgets of 2026" in screen.context.strip.text)
    assert budgets(desk, 2026) == {SpendCategory.POWER: 14_000, SpendCategory.FILTERS: 3000}
    quiet(qtbot, screen)


def test_budgets_typed_for_several_years_are_all_kept_in_one_step(
    qtbot: QtBot, screen: LedgerScreen, budget_form: BudgetForm, desk: Desk
) -> None:
    budget_form.amounts[SpendCategory.POWER].setText("140")
    budget_form.year.choose(2027)
    assert budget_form.amounts[SpendCategory.POWER].text() == ""
    budget_form.amounts[SpendCategory.POWER].setText("150")
    budget_form.year.choose(2026)
    assert budget_form.amounts[SpendCategory.POWER].text() == "140.00"
    screen.side.save()
    qtbot.waitUntil(lambda: "budgets of 2026" in screen.context.strip.text)
    assert [budgets(desk, year)[SpendCategory.POWER] for year in (2026, 2027)] == [14_000, 15_000]
    screen.context.undo()
    qtbot.waitUntil(lambda: "Taken back" in screen.context.strip.text)
    assert budgets(desk, 2026) == budgets(desk, 2027) == {}
    quiet(qtbot, screen)


def test_a_budget_that_cannot_be_read_keeps_its_year_in_sight(budget_form: BudgetForm) -> None:
    budget_form.amounts[SpendCategory.POWER].setText("plenty")
    budget_form.year.choose(2027)
    assert budget_form.year.currentData() == 2026
    assert budget_form.error_of("power")


def test_prices_of_power_and_water_are_kept_exactly(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.writer.prices()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, PriceForm)
    form.power.setText("0.3215")
    form.water.setText("1.5")
    screen.side.save()
    qtbot.waitUntil(lambda: "prices are kept" in screen.context.strip.text)
    kept = prices(desk)
    assert (f"{kept.power_per_kwh}", f"{kept.water_per_m3}") == ("0.3215", "1.5")
    quiet(qtbot, screen)
