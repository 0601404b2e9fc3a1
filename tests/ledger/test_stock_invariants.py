"""Stock over random histories: nothing appears, nothing is lost, the order of entry is nothing."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import (
    Expired,
    Purchase,
    PurchaseRefund,
    StockFact,
    StockKind,
    StockState,
    StockTake,
    Use,
)

FIRST = date(2026, 1, 1)
QUANTITIES = st.integers(1, 6000) | st.integers(1, 12).map(lambda pieces: pieces * 1000)
AMOUNTS = st.integers(0, 20_000)


@st.composite
def histories(draw: st.DrawFn) -> list[StockFact]:
    """Draw facts of one supply in the order in which somebody enters them."""
    facts: list[StockFact] = []
    for number in range(draw(st.integers(0, 25))):
        on = FIRST + timedelta(days=draw(st.integers(0, 20)))
        milli = draw(QUANTITIES)
        match draw(st.sampled_from(list(StockKind))):
            case StockKind.PURCHASE:
                facts.append(Purchase(id=number, on=on, quantity_milli=milli, minor=draw(AMOUNTS)))
            case StockKind.REFUND:
                back = draw(st.just(0) | st.just(milli))
                minor = draw(AMOUNTS)
                facts.append(PurchaseRefund(id=number, on=on, quantity_milli=back, minor=minor))
            case StockKind.USE:
                facts.append(Use(id=number, on=on, quantity_milli=milli))
            case StockKind.EXPIRED:
                facts.append(Expired(id=number, on=on, quantity_milli=milli))
            case _:
                counted = draw(st.just(0) | QUANTITIES)
                facts.append(StockTake(id=number, on=on, counted_milli=counted))
    return facts


OPENINGS = st.builds(
    lambda milli, minor: StockState.opening(
        quantity_milli=milli, value_minor=minor if milli else 0
    ),
    st.integers(0, 9000),
    AMOUNTS,
)


@given(histories(), OPENINGS)
def test_what_came_in_is_used_lost_expired_or_on_the_shelf(
    facts: list[StockFact], opening: StockState
) -> None:
    paid = sum(f.minor for f in facts if isinstance(f, Purchase))
    refunded = sum(f.minor for f in facts if isinstance(f, PurchaseRefund))
    result = replay(facts, opening)
    booked = sum(cost.minor for cost in result.costs)
    assert opening.value_minor + paid - refunded == booked + result.state.value_minor


@given(histories(), OPENINGS)
def test_quantities_add_up_too(facts: list[StockFact], opening: StockState) -> None:
    bought = sum(f.quantity_milli for f in facts if isinstance(f, Purchase))
    result = replay(facts, opening)
    gone = sum(cost.quantity_milli for cost in result.costs)
    assert opening.quantity_milli + bought - gone == result.state.quantity_milli


def before(facts: list[StockFact], day: date) -> StockState:
    return replay(fact for fact in facts if fact.on < day).state


@given(histories(), st.integers(0, 21))
def test_a_replay_from_any_day_says_what_a_replay_of_everything_says(
    facts: list[StockFact], days: int
) -> None:
    cut = FIRST + timedelta(days=days)
    start = before(facts, cut)
    rest = replay([fact for fact in facts if fact.on >= cut], start)
    whole = replay(facts)
    assert rest.state == whole.state
    assert set(rest.costs) <= set(whole.costs)


@given(histories(), st.integers(0, 21))
def test_a_late_edit_replayed_from_its_day_leaves_the_costs_of_a_replay_of_everything(
    facts: list[StockFact], days: int
) -> None:
    late = Purchase(id=99, on=FIRST + timedelta(days=days), quantity_milli=3500, minor=7777)
    kept = {(cost.kind, cost.id): cost for cost in replay(facts).costs}
    after = [fact for fact in facts if fact.on >= late.on]
    for cost in replay([late, *after], before(facts, late.on)).costs:
        kept[cost.kind, cost.id] = cost
    assert set(kept.values()) == set(replay([late, *facts]).costs)


@given(histories().flatmap(lambda facts: st.tuples(st.just(facts), st.permutations(facts))))
def test_the_order_of_entry_changes_nothing(
    entered: tuple[list[StockFact], list[StockFact]],
) -> None:
    facts, shuffled = entered
    assert replay(shuffled) == replay(facts)


@given(histories())
def test_value_lies_on_the_shelf_only_with_something_there(facts: list[StockFact]) -> None:
    state = replay(facts).state
    if state.quantity_milli >= 0:
        assert state.value_minor >= 0
    if state.quantity_milli == 0:
        assert state.value_minor == 0


@given(st.integers(1, 6000), st.integers(0, 6000), AMOUNTS)
def test_a_use_written_down_before_its_purchase_costs_the_same_once_that_is_in(
    milli: int, more: int, minor: int
) -> None:
    later = FIRST + timedelta(days=1)
    early_use = Use(id=1, on=FIRST, quantity_milli=milli)
    purchase = Purchase(id=1, on=later, quantity_milli=milli + more, minor=minor)
    settled = replay([early_use, purchase])
    in_order = replay([purchase, Use(id=1, on=later, quantity_milli=milli)])
    assert settled.costs[0].minor == in_order.costs[0].minor
    assert settled.state.value_minor == in_order.state.value_minor
