"""How long the stock lasts by the plan, and what leaves the shelf outside a task."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.plans import add_task, add_tub
from tests.support.purchases import buy_filters
from tubcare.errors import OutOfRangeError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.history import undo
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.shelf import shelf
from tubcare.services.supplies import count_stock, new_supply, supplies, throw_away, use_up
from tubcare.services.upkeep_tick import tick_off, tick_round
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId

DAY = date(2026, 5, 1)


def test_the_first_task_that_finds_too_little_is_named_with_its_day(desk: Desk) -> None:
    # Every 30 days from 1 April: due 1 May, 31 May, 30 June; two pieces last to the day before
    # the third, by counting on the calendar.
    supply = buy_filters(desk, 2)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    (line,) = shelf(desk)
    assert line.short_on == date(2026, 6, 30)
    assert line.lasts_to == date(2026, 6, 29)
    assert line.short_for == "Swap the filter cartridge"


def test_tasks_of_several_tubs_draw_on_one_shelf(desk: Desk) -> None:
    supply = buy_filters(desk, 2)
    for name in ("North", "South"):
        add_task(desk, add_tub(desk, name=name), supplies={supply: 1000})
    (line,) = shelf(desk)
    assert line.short_on == date(2026, 5, 31)


def test_what_nothing_in_the_plan_uses_lasts_and_comes_after_what_runs_out(desk: Desk) -> None:
    buy_filters(desk, 1, name="Brush")
    supply = buy_filters(desk, 1)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    filters, brush = shelf(desk)
    assert filters.supply.id == supply
    assert (brush.short_on, brush.needed_milli, brush.missing_milli) == (None, 0, 0)


def test_stock_used_outside_a_task_leaves_at_the_moving_average(desk: Desk) -> None:
    supply = buy_filters(desk, 4)
    use_up(desk, supply, quantity_milli=1500, on=DAY, note="Spilled")
    (left,) = supplies(desk)
    assert (left.quantity_milli, left.value_minor) == (2500, 1250)
    assert_books_hold(desk.store)
    undo(desk)
    assert supplies(desk)[0].quantity_milli == 4000


def test_a_stock_take_and_what_expired_keep_the_books_in_balance(desk: Desk) -> None:
    supply = buy_filters(desk, 4)
    # A stock-take counts what lies there at the end of its day.
    assert count_stock(desk, supply, counted_milli=3000, on=date(2026, 4, 30)) == 1000
    throw_away(desk, supply, quantity_milli=1000, on=DAY)
    assert supplies(desk)[0].quantity_milli == 2000
    assert_books_hold(desk.store)


def test_nothing_and_less_cannot_be_used(desk: Desk) -> None:
    supply = buy_filters(desk, 1)
    with pytest.raises(OutOfRangeError):
        use_up(desk, supply, quantity_milli=0, on=DAY)


# --- what the shelf lacks for work, told before and after it


def test_this_week_tells_what_the_shelf_lacks_for_each_task_in_turn(desk: Desk) -> None:
    supply = buy_filters(desk, 3)
    for name in ("North", "South"):
        add_task(desk, add_tub(desk, name=name), supplies={supply: 2000})
    first, second = this_week(desk).due_today
    assert first.lacks == ()
    (note,) = second.lacks
    assert (note.left_milli, note.takes_milli, note.earlier_milli) == (1000, 2000, 2000)


def test_a_tick_takes_more_than_there_is_and_says_so(desk: Desk) -> None:
    supply = buy_filters(desk, 1)
    task = add_task(desk, add_tub(desk), supplies={supply: 2000})
    ticked = tick_off(desk, task, f"start:{task}")
    (note,) = ticked.lacked
    assert (note.name, note.left_milli, note.takes_milli) == ("Filter", 1000, 2000)
    assert supplies(desk)[0].quantity_milli == -1000


def test_a_round_counts_what_its_own_tasks_took_before(desk: Desk) -> None:
    supply = buy_filters(desk, 3)
    tub = add_tub(desk)
    tasks = [add_task(desk, tub, title=title, supplies={supply: 2000}) for title in ("One", "Two")]
    first, second = tick_round(desk, "Sunday", [(task, f"start:{task}") for task in tasks])
    assert first.lacked == ()
    assert second.lacked[0].left_milli == 1000


def test_work_with_enough_on_the_shelf_lacks_nothing(desk: Desk) -> None:
    supply = buy_filters(desk, 2)
    task = add_task(desk, add_tub(desk), supplies={supply: 2000})
    assert this_week(desk).due_today[0].lacks == ()
    assert tick_off(desk, task, f"start:{task}").lacked == ()


def test_of_a_supply_that_is_not_kept_on_the_shelf_nothing_is_said(desk: Desk) -> None:
    supply = new_supply(desk, name="Rag", unit="piece", category=SpendCategory.OTHER)
    task = add_task(desk, add_tub(desk), supplies={supply: 1000})
    assert this_week(desk).due_today[0].lacks == ()
    assert tick_off(desk, task, f"start:{task}").lacked == ()
    undo(desk)
    count_stock(desk, supply, counted_milli=0, on=DAY)
    assert len(this_week(desk).due_today[0].lacks) == 1


def dated(desk: Desk, pieces: int, on: date, keeps: date | None) -> SupplyId:
    buy_stock(
        desk,
        StockPurchase(
            on=on,
            supply="Reagent",
            unit="ml",
            category=SpendCategory.TESTING,
            quantity_milli=pieces * 1000,
            minor=900,
            expires_on=keeps,
        ),
    )
    return next(each.id for each in supplies(desk) if each.name == "Reagent")


def test_a_supply_that_is_not_good_until_its_task_is_due_is_told(desk: Desk) -> None:
    supply = dated(desk, 5, date(2026, 4, 2), date(2026, 4, 30))
    task = add_task(desk, add_tub(desk), supplies={supply: 1000})
    (note,) = this_week(desk).due_today[0].lacks
    assert (note.keeps_until, note.is_short) == (date(2026, 4, 30), False)
    assert tick_off(desk, task, f"start:{task}").lacked[0].keeps_until == date(2026, 4, 30)


def test_a_supply_is_good_on_its_last_day(desk: Desk) -> None:
    supply = dated(desk, 5, date(2026, 4, 2), DAY)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    assert this_week(desk).due_today[0].lacks == ()
    assert shelf(desk)[0].keeps_until == DAY


def test_what_was_bought_first_is_used_first_and_its_last_day_goes_with_it(desk: Desk) -> None:
    supply = dated(desk, 5, date(2026, 4, 2), date(2026, 4, 30))
    dated(desk, 5, date(2026, 4, 20), date(2028, 4, 1))
    use_up(desk, supply, quantity_milli=5000, on=DAY)
    add_task(desk, add_tub(desk), supplies={supply: 1000})
    assert this_week(desk).due_today[0].lacks == ()
    assert shelf(desk)[0].keeps_until == date(2028, 4, 1)
