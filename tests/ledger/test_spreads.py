"""Amounts spread over time: power by day, the build by month."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.months import month_of
from tubcare.ledger.power_spread import spread_by_month, spread_through
from tubcare.ledger.write_off import WriteOff

DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))
AMOUNTS = st.integers(0, 10**9)


@given(DAYS, st.integers(1, 800), AMOUNTS, st.integers(0, 800), st.integers(0, 800))
def test_any_run_of_days_is_within_one_of_its_exact_share(
    after: date, length: int, minor: int, one: int, two: int
) -> None:
    until = after + timedelta(days=length)
    start, end = sorted((min(one, length), min(two, length)))
    part = spread_through(
        minor, after=after, until=until, day=after + timedelta(days=end)
    ) - spread_through(minor, after=after, until=until, day=after + timedelta(days=start))
    assert abs(part - Fraction(minor * (end - start), length)) <= 1


@given(DAYS, st.integers(0, 800), AMOUNTS)
def test_the_months_of_a_charge_add_up_to_it(after: date, length: int, minor: int) -> None:
    parts = spread_by_month(minor, after=after, until=after + timedelta(days=length))
    assert sum(part for _, part in parts) == minor


def test_readings_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(InputError):
        spread_through(1, after=date(2026, 5, 2), until=date(2026, 5, 1), day=date(2026, 5, 1))


@given(DAYS, AMOUNTS, st.integers(1, 240), st.data())
def test_the_months_of_a_write_off_add_up_to_its_base(
    on: date, minor: int, months: int, data: st.DataObject
) -> None:
    rest = data.draw(st.integers(0, minor))
    ended = data.draw(st.none() | st.integers(0, 8000).map(lambda d: on + timedelta(days=d)))
    write_off = WriteOff(on=on, minor=minor, months=months, salvage_minor=rest, ended_on=ended)
    parts = write_off.by_month()
    assert sum(part for _, part in parts) == minor - rest
    assert parts[0][0] == month_of(on)
    assert len(parts) <= months


@given(DAYS, AMOUNTS, st.integers(1, 240))
def test_no_two_months_of_a_write_off_differ_by_more_than_one(
    on: date, minor: int, months: int
) -> None:
    parts = [part for _, part in WriteOff(on=on, minor=minor, months=months).by_month()]
    assert len(parts) == months
    assert max(parts) - min(parts) <= 1


@given(DAYS, AMOUNTS, st.integers(1, 60), st.integers(-5, 2000))
def test_a_write_off_never_runs_backwards(on: date, minor: int, months: int, days: int) -> None:
    write_off = WriteOff(on=on, minor=minor, months=months)
    day = on + timedelta(days=days)
    here = write_off.written_through(day)
    assert 0 <= here <= write_off.written_through(day + timedelta(days=1)) <= minor


def test_what_ends_early_writes_off_its_rest_on_that_day() -> None:
    scrapped = date(2026, 3, 10)
    write_off = WriteOff(on=date(2026, 1, 1), minor=1200, months=12, ended_on=scrapped)
    assert [part for _, part in write_off.by_month()] == [100, 100, 1000]
    assert write_off.written_through(scrapped - timedelta(days=1)) == 200 + 29
    assert write_off.written_through(scrapped) == 1200


def test_the_first_month_is_used_from_the_day_of_payment() -> None:
    write_off = WriteOff(on=date(2026, 1, 31), minor=1200, months=12)
    assert write_off.written_through(date(2026, 1, 30)) == 0
    assert write_off.written_through(date(2026, 1, 31)) == 100


@pytest.mark.parametrize("months", [0, -1, 1201])
def test_an_absurd_life_is_refused(months: int) -> None:
    with pytest.raises(OutOfRangeError, match="months"):
        WriteOff(on=date(2026, 1, 1), minor=1, months=months)


def test_a_rest_value_above_the_price_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="salvage_minor"):
        WriteOff(on=date(2026, 1, 1), minor=1, months=1, salvage_minor=2)


def test_an_end_before_the_start_is_refused() -> None:
    with pytest.raises(InputError, match="ended_on"):
        WriteOff(on=date(2026, 1, 2), minor=1, months=1, ended_on=date(2026, 1, 1))
