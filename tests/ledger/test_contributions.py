"""What each fact adds to *paid* and *used*, by month and by day."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.contributions import (
    BuildCost,
    BuildRefund,
    DirectSpend,
    MoneyFact,
    MonthAmount,
    PowerCharge,
    StockOutflow,
    StockPurchase,
    StockRefund,
    View,
    contributions_between,
    monthly_contributions,
    used_days,
)
from tubcare.ledger.months import YearMonth, months_between
from tubcare.ledger.write_off import WriteOff

DAY = date(2026, 5, 20)
MAY = YearMonth(2026, 5)
DAYS = st.dates(date(2024, 1, 1), date(2028, 12, 31))
AMOUNTS = st.integers(0, 10**7)


def test_a_purchase_for_the_shelf_is_paid_and_not_used() -> None:
    assert monthly_contributions(StockPurchase(on=DAY, minor=3000)) == (
        MonthAmount(View.PAID, MAY, 3000),
    )


def test_a_use_of_stock_is_used_and_not_paid() -> None:
    assert monthly_contributions(StockOutflow(on=DAY, minor=500)) == (
        MonthAmount(View.USED, MAY, 500),
    )


def test_a_refund_of_stock_lowers_what_was_paid() -> None:
    refund = StockRefund(on=DAY, minor=300, used_minor=-100)
    assert monthly_contributions(refund) == (
        MonthAmount(View.PAID, MAY, -300),
        MonthAmount(View.USED, MAY, -100),
    )


@pytest.mark.parametrize("minor", [900, -900])
def test_a_repair_is_both_at_once_and_so_is_its_refund(minor: int) -> None:
    assert monthly_contributions(DirectSpend(on=DAY, minor=minor)) == (
        MonthAmount(View.PAID, MAY, minor),
        MonthAmount(View.USED, MAY, minor),
    )


def test_power_is_paid_on_the_reading_and_used_by_day() -> None:
    charge = PowerCharge(from_on=date(2026, 4, 20), on=date(2026, 5, 20), minor=3000)
    assert monthly_contributions(charge) == (
        MonthAmount(View.PAID, MAY, 3000),
        MonthAmount(View.USED, YearMonth(2026, 4), 1000),
        MonthAmount(View.USED, MAY, 2000),
    )


def test_two_readings_on_one_day_put_the_power_on_that_day() -> None:
    charge = PowerCharge(from_on=DAY, on=DAY, minor=70)
    assert contributions_between(charge, DAY, DAY) == (70, 70)


def test_the_build_is_paid_once_and_used_by_month() -> None:
    build = BuildCost(
        write_off=WriteOff(on=date(2026, 1, 10), minor=799_900, months=120, salvage_minor=50_000)
    )
    amounts = monthly_contributions(build)
    used = [a.minor for a in amounts if a.view is View.USED]
    assert amounts[0] == MonthAmount(View.PAID, YearMonth(2026, 1), 799_900)
    assert (len(used), sum(used), set(used)) == (120, 749_900, {6249, 6250})


def test_a_refund_of_the_build_lowers_the_months_that_are_left() -> None:
    build = WriteOff(on=date(2026, 1, 10), minor=12_000, months=12)
    refund = BuildRefund(on=date(2026, 11, 5), minor=600, build=build)
    assert monthly_contributions(refund) == (
        MonthAmount(View.PAID, YearMonth(2026, 11), -600),
        MonthAmount(View.USED, YearMonth(2026, 11), -300),
        MonthAmount(View.USED, YearMonth(2026, 12), -300),
    )


def test_the_sale_of_an_old_part_at_its_rest_value_lowers_no_use() -> None:
    build = WriteOff(on=date(2020, 1, 1), minor=12_000, months=12, salvage_minor=2000)
    sale = BuildRefund(on=DAY, minor=2500, build=build, realised_minor=2000)
    assert monthly_contributions(sale) == (
        MonthAmount(View.PAID, MAY, -2500),
        MonthAmount(View.USED, MAY, -500),
    )


def test_bad_facts_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        StockPurchase(on=DAY, minor=-1)
    with pytest.raises(OutOfRangeError):
        StockRefund(on=DAY, minor=-1)
    with pytest.raises(OutOfRangeError):
        DirectSpend(on=DAY, minor=10**12 + 1)
    with pytest.raises(InputError):
        PowerCharge(from_on=DAY, on=DAY - timedelta(days=1), minor=1)
    with pytest.raises(InputError):
        BuildRefund(on=DAY, minor=1, build=WriteOff(on=date(2026, 6, 1), minor=9, months=2))


def test_a_range_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(InputError, match="before it starts"):
        contributions_between(DirectSpend(on=DAY, minor=1), DAY, DAY - timedelta(days=1))


@st.composite
def facts(draw: st.DrawFn) -> MoneyFact:
    """Draw a fact of any shape."""
    on, minor = draw(DAYS), draw(AMOUNTS)
    length = timedelta(days=draw(st.integers(0, 700)))
    write_off = WriteOff(
        on=on,
        minor=minor,
        months=draw(st.integers(1, 60)),
        salvage_minor=draw(st.integers(0, minor)),
        ended_on=draw(st.none() | st.just(on + length)),
    )
    back = draw(st.integers(0, minor))
    refunded = BuildRefund(
        on=on + length,
        minor=back,
        build=write_off,
        realised_minor=min(back, write_off.salvage_minor),
    )
    shapes: list[MoneyFact] = [
        StockPurchase(on=on, minor=minor),
        StockRefund(on=on, minor=minor, used_minor=draw(st.integers(-100, 100))),
        StockOutflow(on=on, minor=minor),
        DirectSpend(on=on, minor=-minor),
        PowerCharge(from_on=on, on=on + length, minor=minor),
        BuildCost(write_off=write_off),
        refunded,
    ]
    return draw(st.sampled_from(shapes))


@given(facts())
def test_the_months_are_the_sums_of_their_days(fact: MoneyFact) -> None:
    by_month = Counter({(a.view, a.month): a.minor for a in monthly_contributions(fact)})
    used = {*months_between(*used_days(fact))}
    for month in used | {month for _, month in by_month}:
        between = contributions_between(fact, month.first_day, month.last_day)
        assert between.paid_minor == by_month[View.PAID, month]
        assert between.used_minor == by_month[View.USED, month]


@given(facts(), DAYS, DAYS, DAYS)
def test_neighbouring_ranges_add_up(fact: MoneyFact, a: date, b: date, c: date) -> None:
    first, middle, last = sorted((a, b, c))
    left = contributions_between(fact, first, middle)
    whole = contributions_between(fact, first, last)
    if middle == last:
        assert left == whole
    else:
        right = contributions_between(fact, middle + timedelta(days=1), last)
        assert (left[0] + right[0], left[1] + right[1]) == whole


@given(facts())
def test_nothing_is_used_outside_the_days_that_a_fact_names(fact: MoneyFact) -> None:
    first, last = used_days(fact)
    far = timedelta(days=40_000)
    used = sum(a.minor for a in monthly_contributions(fact) if a.view is View.USED)
    assert contributions_between(fact, first, last).used_minor == used
    assert contributions_between(fact, first - far, last + far).used_minor == used


@given(facts())
def test_no_month_is_named_for_nothing(fact: MoneyFact) -> None:
    assert all(amount.minor for amount in monthly_contributions(fact))
