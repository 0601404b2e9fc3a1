from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tubcare.errors import DependentFactError, InputError, OutOfRangeError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.corrections import Correction, change_entry, delete_entry, refund
from tubcare.services.entries import entries
from tubcare.services.history import redo, undo, undoable
from tubcare.services.money import (
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    end_use,
    pay,
)
from tubcare.services.supplies import count_stock, supplies, throw_away

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import EntryId

DAY = date(2026, 5, 1)


def buy(
    desk: Desk, *, minor: int = 3000, quantity: int = 6000, on: date = DAY, supply: str = "Filter"
) -> EntryId:
    return buy_stock(
        desk,
        StockPurchase(
            on=on,
            supply=supply,
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=quantity,
            minor=minor,
        ),
    )


def test_a_purchase_lies_on_the_shelf(desk: Desk) -> None:
    buy(desk)
    (supply,) = supplies(desk)
    assert (supply.quantity_milli, supply.value_minor) == (6000, 3000)
    assert_books_hold(desk.store)


def test_throwing_away_takes_the_average_off_the_shelf(desk: Desk) -> None:
    buy(desk)
    buy(desk, minor=6600)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=1000, on=DAY)
    assert supplies(desk)[0].value_minor == 8800
    assert_books_hold(desk.store)


def test_a_stock_take_books_the_difference(desk: Desk) -> None:
    buy(desk)
    (supply,) = supplies(desk)
    assert count_stock(desk, supply.id, counted_milli=4000, on=DAY) == 2000
    assert supplies(desk)[0].quantity_milli == 4000
    assert_books_hold(desk.store)


def test_editing_an_old_purchase_values_anew_what_follows(desk: Desk) -> None:
    first = buy(desk)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=3000, on=date(2026, 5, 3))
    change_entry(
        desk,
        first,
        Correction(on=DAY, minor=6000, category=SpendCategory.FILTERS, quantity_milli=6000),
    )
    assert supplies(desk)[0].value_minor == 3000
    assert_books_hold(desk.store)


def test_deleting_a_purchase_leaves_uses_short(desk: Desk) -> None:
    first = buy(desk)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=3000, on=date(2026, 5, 3))
    delete_entry(desk, first)
    assert supplies(desk)[0].quantity_milli == -3000
    assert_books_hold(desk.store)
    buy(desk, on=date(2026, 5, 9))
    assert supplies(desk)[0].quantity_milli == 3000
    assert_books_hold(desk.store)


def test_a_refund_is_linked_and_never_more_than_was_paid(desk: Desk) -> None:
    first = buy(desk)
    refund(desk, first, on=date(2026, 5, 4), minor=1000, quantity_milli=2000)
    with pytest.raises(RuleError, match="more would come back"):
        refund(desk, first, on=date(2026, 5, 5), minor=2001, quantity_milli=0)
    with pytest.raises(DependentFactError, match="refund"):
        delete_entry(desk, first)
    assert_books_hold(desk.store)


def test_build_cost_is_used_by_month_and_ends_early(desk: Desk) -> None:
    build = add_build_cost(desk, BuildCost(on=DAY, minor=749_900, months=120, note="chest"))
    assert_books_hold(desk.store)
    end_use(desk, build, date(2027, 3, 10))
    assert_books_hold(desk.store)


def test_undo_and_redo_bring_back_every_fact(desk: Desk) -> None:
    states = [facts(desk.store)]
    first = buy(desk)
    states.append(facts(desk.store))
    refund(desk, first, on=date(2026, 5, 4), minor=500, quantity_milli=1000)
    states.append(facts(desk.store))
    pay(desk, DirectPurchase(on=DAY, category=SpendCategory.REPAIRS, minor=4500, note="hose"))
    for state in reversed(states):
        undo(desk)
        assert facts(desk.store) == state
        assert_books_hold(desk.store)
    for state in states[1:]:
        redo(desk)
        assert facts(desk.store) == state
        assert_books_hold(desk.store)


def test_undo_names_what_it_takes_back(desk: Desk) -> None:
    buy(desk)
    action = undoable(desk)
    assert action is not None
    assert (action.label, action.subject) == ("buy_stock", "Filter")


def test_another_persons_later_fact_stands_in_the_way_of_undo(desk: Desk) -> None:
    from tubcare.services.desk import Desk as Other

    first = buy(desk)
    ben = Other(desk.store, desk.clock, "Ben")
    refund(ben, first, on=date(2026, 5, 4), minor=500)
    with pytest.raises(DependentFactError, match="entry"):
        undo(desk)
    assert len(entries(desk, first=DAY, last=date(2026, 6, 1))) == 2


@pytest.mark.parametrize("minor", [0, -5, 10**13])
def test_an_amount_that_cannot_be_right_is_refused(desk: Desk, minor: int) -> None:
    with pytest.raises(OutOfRangeError, match="minor"):
        buy(desk, minor=minor)
    assert supplies(desk) == ()


@pytest.mark.parametrize("quantity", [0, -1, 10**12])
def test_a_quantity_that_cannot_be_right_is_refused(desk: Desk, quantity: int) -> None:
    with pytest.raises(OutOfRangeError, match="quantity"):
        buy(desk, quantity=quantity)


def test_an_empty_name_is_refused(desk: Desk) -> None:
    with pytest.raises(InputError, match="supply"):
        buy(desk, supply="  ")


def test_a_date_out_of_range_is_refused(desk: Desk) -> None:
    with pytest.raises(InputError, match="1990"):
        buy(desk, on=date(1200, 1, 1))


def test_a_note_of_ten_thousand_characters_is_kept_and_a_longer_one_refused(desk: Desk) -> None:
    pay(desk, DirectPurchase(on=DAY, category=SpendCategory.OTHER, minor=1, note="ä" * 10_000))
    assert len(entries(desk, first=DAY, last=DAY)[0].note) == 10_000
    with pytest.raises(InputError, match="10000"):
        pay(desk, DirectPurchase(on=DAY, category=SpendCategory.OTHER, minor=1, note="x" * 10_001))


def test_html_in_a_note_stays_text(desk: Desk) -> None:
    note = "<b>bold</b> & <script>x</script>"
    pay(desk, DirectPurchase(on=DAY, category=SpendCategory.OTHER, minor=1, note=note))
    assert entries(desk, first=DAY, last=DAY)[0].note == note


def test_a_budget_is_set_changed_and_taken_away(desk: Desk) -> None:
    for minor in (10_000, 12_000, None):
        set_budgets(desk, 2026, {SpendCategory.POWER: minor})
    assert facts(desk.store)["budget"] == []
    with pytest.raises(OutOfRangeError):
        set_budgets(desk, 2026, {SpendCategory.POWER: -1})
