"""Stock at moving average: each rule on a case that can be checked by hand."""

from __future__ import annotations

from datetime import date

import pytest

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import (
    Expired,
    Purchase,
    PurchaseRefund,
    StockCost,
    StockFact,
    StockFlag,
    StockKind,
    StockReplay,
    StockState,
    StockTake,
    Use,
)


def day(number: int) -> date:
    return date(2026, 5, number)


def buy(id_: int, on: int, pieces: int, minor: int) -> Purchase:
    return Purchase(id=id_, on=day(on), quantity_milli=pieces * 1000, minor=minor)


def use(id_: int, on: int, pieces: int) -> Use:
    return Use(id=id_, on=day(on), quantity_milli=pieces * 1000)


def refund(id_: int, on: int, pieces: int, minor: int) -> PurchaseRefund:
    return PurchaseRefund(id=id_, on=day(on), quantity_milli=pieces * 1000, minor=minor)


def count(id_: int, on: int, pieces: int) -> StockTake:
    return StockTake(id=id_, on=day(on), counted_milli=pieces * 1000)


def cost(result: StockReplay, kind: StockKind, id_: int) -> StockCost:
    return next(c for c in result.costs if (c.kind, c.id) == (kind, id_))


def shelf(result: StockReplay) -> tuple[int, int]:
    return result.state.quantity_milli // 1000, result.state.value_minor


def test_a_use_costs_the_average_of_what_was_bought_before() -> None:
    result = replay([buy(1, 1, 6, 3000), buy(2, 2, 2, 1400), use(1, 3, 4)])
    assert cost(result, StockKind.USE, 1).minor == 2200
    assert shelf(result) == (4, 2200)


def test_value_out_rounds_half_even() -> None:
    result = replay([buy(1, 1, 2, 5), use(1, 2, 1)])
    assert cost(result, StockKind.USE, 1).minor == 2
    assert shelf(result) == (1, 3)


def test_emptying_the_shelf_takes_the_rest() -> None:
    result = replay([buy(1, 1, 3, 100), use(1, 2, 1), use(2, 3, 1), use(3, 4, 1)])
    assert [c.minor for c in result.costs] == [33, 34, 33]
    assert shelf(result) == (0, 0)


def test_on_one_day_purchases_come_before_uses() -> None:
    result = replay([use(1, 1, 1), buy(1, 1, 1, 500)])
    assert not cost(result, StockKind.USE, 1).flags
    assert cost(result, StockKind.USE, 1).minor == 500


def test_short_stock_is_flagged_and_valued_at_the_last_average() -> None:
    result = replay([buy(1, 1, 2, 1000), use(1, 2, 3)])
    assert cost(result, StockKind.USE, 1).minor == 1500
    assert cost(result, StockKind.USE, 1).flags == {StockFlag.SHORT}
    assert shelf(result) == (-1, -500)


def test_the_next_purchase_settles_what_was_short_on_the_use() -> None:
    result = replay([buy(1, 1, 2, 1000), use(1, 2, 3), buy(2, 5, 2, 1400)])
    settled = cost(result, StockKind.USE, 1)
    assert (settled.minor, settled.settled_minor) == (1700, 200)
    assert settled.flags == {StockFlag.SHORT, StockFlag.SETTLED}
    assert shelf(result) == (1, 700)


def test_a_small_purchase_settles_the_oldest_part_first() -> None:
    result = replay([buy(1, 1, 1, 400), use(1, 2, 3), use(2, 3, 1), buy(2, 5, 2, 1000)])
    assert cost(result, StockKind.USE, 1).minor == 400 + 1000
    assert cost(result, StockKind.USE, 2).minor == 400
    assert shelf(result) == (-1, -400)


def test_a_use_before_any_price_is_known_stands_at_nothing_until_settled() -> None:
    early = replay([use(1, 1, 2)])
    assert cost(early, StockKind.USE, 1).minor == 0
    assert cost(early, StockKind.USE, 1).flags == {StockFlag.SHORT, StockFlag.UNPRICED}
    later = replay([buy(1, 9, 4, 2000)], early.state)
    assert cost(later, StockKind.USE, 1).minor == 1000
    assert StockFlag.UNPRICED not in cost(later, StockKind.USE, 1).flags


def test_a_returned_piece_takes_its_price_off_the_shelf() -> None:
    result = replay([buy(1, 1, 6, 3000), buy(2, 2, 6, 6000), refund(3, 3, 6, 3000)])
    assert shelf(result) == (6, 6000)
    assert cost(result, StockKind.REFUND, 3).minor == 0


def test_a_price_cut_after_all_was_used_lowers_what_was_used() -> None:
    result = replay([buy(1, 1, 2, 1000), use(1, 2, 2), refund(2, 3, 0, 300)])
    booked = cost(result, StockKind.REFUND, 2)
    assert (booked.minor, booked.flags) == (-300, frozenset({StockFlag.ABOVE_SHELF}))
    assert cost(result, StockKind.USE, 1).minor + booked.minor == 700


def test_a_fee_kept_by_the_shop_is_used_when_the_last_piece_goes_back() -> None:
    result = replay([buy(1, 1, 2, 1000), refund(2, 3, 2, 900)])
    assert cost(result, StockKind.REFUND, 2).minor == 100
    assert shelf(result) == (0, 0)


def test_a_stock_take_books_what_is_missing_as_a_loss() -> None:
    result = replay([buy(1, 1, 4, 1000), count(1, 2, 3)])
    assert cost(result, StockKind.STOCK_TAKE, 1).minor == 250
    assert shelf(result) == (3, 750)


def test_a_stock_take_that_finds_more_books_a_gain_at_the_average() -> None:
    result = replay([buy(1, 1, 4, 1000), count(1, 2, 5)])
    found = cost(result, StockKind.STOCK_TAKE, 1)
    assert (found.quantity_milli, found.minor) == (-1000, -250)
    assert found.flags == {StockFlag.SURPLUS}


def test_a_stock_take_ends_the_wait_of_what_was_short() -> None:
    result = replay([buy(1, 1, 1, 400), use(1, 2, 3), count(1, 3, 0), buy(2, 4, 1, 900)])
    assert cost(result, StockKind.USE, 1).settled_minor == 0
    assert cost(result, StockKind.STOCK_TAKE, 1).minor == -800
    assert shelf(result) == (1, 900)


def test_a_stock_take_counts_at_the_end_of_its_day() -> None:
    result = replay([buy(1, 1, 4, 1000), count(1, 2, 3), use(2, 2, 1)])
    assert cost(result, StockKind.STOCK_TAKE, 1).minor == 0


def test_what_expired_is_told_apart_from_what_was_used() -> None:
    result = replay(
        [buy(1, 1, 4, 1000), use(1, 2, 1), Expired(id=2, on=day(3), quantity_milli=3000)]
    )
    assert cost(result, StockKind.USE, 1).minor == 250
    assert cost(result, StockKind.EXPIRED, 2).minor == 750


def test_a_late_purchase_replays_from_its_day() -> None:
    facts: list[StockFact] = [buy(1, 1, 2, 1000), use(1, 5, 1), use(2, 9, 1)]
    late = buy(2, 4, 2, 2000)
    start = replay(fact for fact in facts if fact.on < late.on).state
    after = [fact for fact in facts if fact.on >= late.on]
    assert [c.minor for c in replay([late, *after], start).costs] == [750, 750]


def test_a_use_of_the_last_day_seen_can_be_added_without_a_replay() -> None:
    start = replay([buy(1, 1, 2, 1000), use(1, 1, 1)]).state
    assert cost(replay([use(2, 1, 1)], start), StockKind.USE, 2).minor == 500


def test_a_purchase_of_the_last_day_seen_needs_a_replay_of_that_day() -> None:
    start = replay([buy(1, 1, 2, 1000), use(1, 1, 1)]).state
    with pytest.raises(InputError, match="before the start"):
        replay([buy(2, 1, 1, 700)], start)


def test_opening_stock_sets_the_first_average() -> None:
    opening = StockState.opening(quantity_milli=4000, value_minor=1000)
    assert cost(replay([use(1, 1, 1)], opening), StockKind.USE, 1).minor == 250


def test_an_empty_history_is_an_empty_shelf() -> None:
    assert shelf(replay([])) == (0, 0)
    assert replay([]).costs == ()


def test_a_fact_that_comes_twice_is_refused() -> None:
    with pytest.raises(InputError, match="twice"):
        replay([use(1, 1, 1), use(1, 2, 1)])


@pytest.mark.parametrize("quantity_milli", [-1, 0, 10**9 + 1])
def test_absurd_quantities_are_refused(quantity_milli: int) -> None:
    with pytest.raises(OutOfRangeError):
        Use(id=1, on=day(1), quantity_milli=quantity_milli)
    with pytest.raises(OutOfRangeError):
        Expired(id=1, on=day(1), quantity_milli=quantity_milli)
    with pytest.raises(OutOfRangeError):
        Purchase(id=1, on=day(1), quantity_milli=quantity_milli, minor=1)


@pytest.mark.parametrize("minor", [-1, 10**12 + 1])
def test_absurd_prices_are_refused(minor: int) -> None:
    with pytest.raises(OutOfRangeError):
        Purchase(id=1, on=day(1), quantity_milli=1, minor=minor)
    with pytest.raises(OutOfRangeError):
        PurchaseRefund(id=1, on=day(1), quantity_milli=1, minor=minor)


def test_a_state_that_no_history_leads_to_is_refused() -> None:
    with pytest.raises(InputError):
        StockState(quantity_milli=0, value_minor=5)
    with pytest.raises(InputError):
        StockState(quantity_milli=-1)
    with pytest.raises(OutOfRangeError):
        StockState.opening(quantity_milli=-1, value_minor=0)
