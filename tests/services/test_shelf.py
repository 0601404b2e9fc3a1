"""How long the stock lasts by the plan, and what leaves the shelf outside a task."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.plans import add_task, add_tub
from tubcare.errors import OutOfRangeError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.history import undo
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.shelf import shelf
from tubcare.services.supplies import count_stock, supplies, throw_away, use_up

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId

DAY = date(2026, 5, 1)


def bought(desk: Desk, pieces: int, name: str = "Filter") -> SupplyId:
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 4, 2),
            supply=name,
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=pieces * 1000,
            minor=pieces * 500,
        ),
    )
    return next(each.id for each in supplies(desk) if each.name == name)


def test_the_first_task_that_finds_too_little_is_named_with_its_day(desk: Desk) -> None:
    # Every 30 days from 1 April: due 1 May, 31 May, 30 June; two pieces last to the day before
    # the third, by counting on the calendar.
    supply = bought(desk, 2)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    (line,) = shelf(desk)
    assert line.short_on == date(2026, 6, 30)
    assert line.lasts_to == date(2026, 6, 29)
    assert line.short_for == "Swap the filter cartridge"


def test_tasks_of_several_tubs_draw_on_one_shelf(desk: Desk) -> None:
    supply = bought(desk, 2)
    for name in ("North", "South"):
        add_task(desk, add_tub(desk, name=name), supplies={supply: 1000})
    (line,) = shelf(desk)
    assert line.short_on == date(2026, 5, 31)


def test_what_nothing_in_the_plan_uses_lasts_and_comes_after_what_runs_out(desk: Desk) -> None:
    bought(desk, 1, "Brush")
    supply = bought(desk, 1)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    filters, brush = shelf(desk)
    assert filters.supply.id == supply
    assert (brush.short_on, brush.needed_milli, brush.missing_milli) == (None, 0, 0)


def test_stock_used_outside_a_task_leaves_at_the_moving_average(desk: Desk) -> None:
    supply = bought(desk, 4)
    use_up(desk, supply, quantity_milli=1500, on=DAY, note="Spilled")
    (left,) = supplies(desk)
    assert (left.quantity_milli, left.value_minor) == (2500, 1250)
    assert_books_hold(desk.store)
    undo(desk)
    assert supplies(desk)[0].quantity_milli == 4000


def test_a_stock_take_and_what_expired_keep_the_books_in_balance(desk: Desk) -> None:
    supply = bought(desk, 4)
    # A stock-take counts what lies there at the end of its day.
    assert count_stock(desk, supply, counted_milli=3000, on=date(2026, 4, 30)) == 1000
    throw_away(desk, supply, quantity_milli=1000, on=DAY)
    assert supplies(desk)[0].quantity_milli == 2000
    assert_books_hold(desk.store)


def test_nothing_and_less_cannot_be_used(desk: Desk) -> None:
    supply = bought(desk, 1)
    with pytest.raises(OutOfRangeError):
        use_up(desk, supply, quantity_milli=0, on=DAY)
