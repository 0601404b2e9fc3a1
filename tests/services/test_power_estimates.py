"""Modelled power in the ledger: where no reading covers the time, and no day twice."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from tests.support.books import assert_books_hold
from tests.support.chilled import MEANS, chilled_tub
from tests.support.clocks import StillClock, noon
from tests.support.stores import opened
from tests.support.weather_files import prices_csv
from tubcare.care.model import TubState
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.errors import InputError, RuleError, TubcareError
from tubcare.services.desk import Desk
from tubcare.services.history import redo, undo
from tubcare.services.household import POWER_PRICE, change_setting, start_logbook
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading, delete_meter_reading
from tubcare.services.power_estimates import estimates_of, metered_days
from tubcare.services.power_fill import fill_estimates
from tubcare.services.power_tariff import change_tariff, prices_from_file
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.reviews import year_review
from tubcare.services.tubs import enter_state
from tubcare.store.tables import EntryRow, MeterReadingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from pathlib import Path

    from tubcare.values import TubId

OPENED = date(2026, 5, 1)


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 6, 1))


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return make_tub(desk)


def make_tub(desk: Desk) -> TubId:
    tub = chilled_tub(desk, opened=OPENED)
    type_monthly_means(desk, tub, MEANS)
    # The price last: before it there is nothing to estimate with.
    change_setting(desk, POWER_PRICE, "0.30")
    return tub


def read(desk: Desk, tub: TubId, on: date, kwh: float, **changes: object) -> None:
    value = MeterValue(counter="kwh", value_milli=round(kwh * 1000), **changes)  # type: ignore[arg-type]
    add_meter_reading(desk, tub, value, on=on)


def estimated(desk: Desk, tub: TubId) -> list[date]:
    with desk.read() as connection:
        return [day for each in estimates_of(connection, tub) for day in each.days()]


def metered(desk: Desk, tub: TubId) -> frozenset[date]:
    with desk.read() as connection:
        return metered_days(connection, tub)


def test_a_month_without_a_meter_is_filled_up_to_yesterday(desk: Desk, tub: TubId) -> None:
    assert fill_estimates(desk) == 31
    assert estimated(desk, tub) == [OPENED + timedelta(days=n) for n in range(31)]
    assert fill_estimates(desk) == 0


def test_days_on_which_the_price_lies_below_zero_cost_nothing_in_the_ledger(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    clock.set(date(2026, 5, 2))
    change_tariff(desk, tub, TariffPlan(price=Decimal("-0.05")))
    fill_estimates(desk)
    assert estimated(desk, tub) == []
    clock.set(date(2026, 5, 4))
    change_tariff(desk, tub, TariffPlan(price=Decimal("0.05")))
    assert len(estimated(desk, tub)) == 3
    assert_books_hold(desk.store)


def test_a_day_with_an_hour_without_a_price_waits_for_it(desk: Desk, tub: TubId) -> None:
    first = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock
    for days in (10, 20):
        text = prices_csv(first, 24 * days - 1)
        prices = prices_from_file(desk, tub, text, per=None, in_utc=False)
        change_tariff(desk, tub, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
        assert estimated(desk, tub) == [OPENED + timedelta(days=n) for n in range(days - 1)]


def test_the_next_days_lengthen_the_estimate_of_the_month(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    clock.set(date(2026, 5, 10))
    fill_estimates(desk)
    clock.set(date(2026, 6, 3))
    fill_estimates(desk)
    with desk.read() as connection:
        found = [(each.after, each.until) for each in estimates_of(connection, tub)]
    assert found == [(date(2026, 4, 30), date(2026, 5, 31)), (date(2026, 5, 31), date(2026, 6, 2))]


def test_a_reading_takes_the_place_of_the_estimate(desk: Desk, tub: TubId) -> None:
    fill_estimates(desk)
    read(desk, tub, date(2026, 5, 10), 100.0)
    assert len(estimated(desk, tub)) == 31
    read(desk, tub, date(2026, 5, 20), 116.0)
    assert estimated(desk, tub) == [
        *(date(2026, 5, day) for day in range(1, 11)),
        *(date(2026, 5, day) for day in range(21, 32)),
    ]


def test_the_rest_of_a_cut_estimate_keeps_its_share(desk: Desk, tub: TubId) -> None:
    fill_estimates(desk)
    with desk.read() as connection:
        (whole,) = estimates_of(connection, tub)
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 116.0)
    with desk.read() as connection:
        parts = estimates_of(connection, tub)
    assert sum(each.energy_wh for each in parts) == pytest.approx(whole.energy_wh * 21 / 31, abs=2)


def test_undo_of_a_reading_brings_the_estimate_back(desk: Desk, tub: TubId) -> None:
    fill_estimates(desk)
    read(desk, tub, date(2026, 5, 1), 100.0)
    read(desk, tub, date(2026, 5, 31), 150.0)
    assert len(estimated(desk, tub)) == 1
    undo(desk)
    assert len(estimated(desk, tub)) == 31


def test_estimate_and_charge_together_make_the_year(desk: Desk, tub: TubId) -> None:
    fill_estimates(desk)
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 116.0)
    table = table_of(EntryRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).where(table.c.kind == "power")).all()
    used = year_review(desk, 2026).review.used
    assert used.total.minor == sum(row.minor for row in rows)
    assert [row.minor for row in rows if row.meter_reading_id is not None] == [480]
    assert_books_hold(desk.store)


def test_a_closed_tub_draws_nothing(desk: Desk, tub: TubId) -> None:
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 11))
    fill_estimates(desk)
    assert estimated(desk, tub)[-1] == date(2026, 5, 10)


def test_a_closing_written_down_late_takes_its_estimates_away(desk: Desk, tub: TubId) -> None:
    fill_estimates(desk)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 21))
    assert estimated(desk, tub)[-1] == date(2026, 5, 20)
    undo(desk)
    assert len(estimated(desk, tub)) == 31


def test_other_weather_changes_the_estimates_and_undo_brings_the_old_ones_back(
    desk: Desk, tub: TubId
) -> None:
    def energy() -> int:
        with desk.read() as connection:
            return sum(each.energy_wh for each in estimates_of(connection, tub))

    fill_estimates(desk)
    before = energy()
    type_monthly_means(desk, tub, MonthlyMeans(air_c=(20.0,) * 12))
    assert energy() > before
    undo(desk)
    assert energy() == before
    assert_books_hold(desk.store)


def test_days_between_two_meters_are_estimated(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 1), 900.0)
    read(desk, tub, date(2026, 5, 10), 915.0)
    read(desk, tub, date(2026, 5, 15), 0.0, new_meter=True)
    read(desk, tub, date(2026, 5, 31), 25.0)
    fill_estimates(desk)
    assert estimated(desk, tub) == [
        date(2026, 5, 1),
        *(date(2026, 5, day) for day in range(11, 16)),
    ]


def test_a_meter_that_ran_past_its_last_digit_goes_on(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 1), 99_990.0)
    read(desk, tub, date(2026, 5, 11), 5.0, rolls_over_milli=100_000_000)
    table = table_of(EntryRow)
    with desk.read() as connection:
        kwh = connection.execute(select(table.c.quantity_milli)).scalars().all()
    assert sum(kwh) == 15_000


def test_a_lower_reading_is_refused_with_the_way_out(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 1), 100.0)
    with pytest.raises(RuleError, match="exchanged or ran past its last digit"):
        read(desk, tub, date(2026, 5, 11), 90.0)
    with pytest.raises(InputError, match="has shown 100 already"):
        read(desk, tub, date(2026, 5, 11), 90.0, rolls_over_milli=50_000)


def test_a_second_lower_reading_of_the_same_day_is_refused(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 10), 100.0)
    with pytest.raises(RuleError, match="do not run back"):
        read(desk, tub, date(2026, 5, 10), 99.0)


def test_a_reading_written_down_late_finds_its_place(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 1), 100.0)
    read(desk, tub, date(2026, 5, 31), 160.0)
    read(desk, tub, date(2026, 5, 11), 125.0)
    with pytest.raises(RuleError, match="later reading shows 160"):
        read(desk, tub, date(2026, 5, 21), 170.0)
    table = table_of(EntryRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table.c.on_date, table.c.quantity_milli).order_by(table.c.on_date)
        ).all()
    assert [(r.on_date.day, r.quantity_milli) for r in rows] == [(11, 25_000), (31, 35_000)]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(
            ["read", "read", "read", "exchange", "delete", "fill", "day", "undo", "redo"]
        ),
        st.integers(min_value=0, max_value=45),
        st.integers(min_value=0, max_value=200),
    ),
    min_size=3,
    max_size=14,
)


# Without shrinking: each example opens a logbook, and a found fault is short as it is.
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(steps=STEPS)
def test_in_any_order_of_readings_no_day_is_counted_twice(
    steps: list[tuple[str, int, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder: Path = tmp_path_factory.mktemp("book")
    clock = StillClock(noon(2026, 6, 5))
    for store in opened("sqlite", folder, clock.now()):
        # Set up by somebody else, so that undo goes back along the readings alone.
        first = Desk(store, clock, "Eve")
        start_logbook(first, currency_code="EUR", home_zone="Europe/Helsinki", person="Eve")
        tub, desk = make_tub(first), Desk(store, clock, "Ann")
        for step in steps:
            _take(desk, clock, tub, step)
            days = estimated(desk, tub)
            assert len(days) == len(set(days))
            assert not set(days) & metered(desk, tub)
        fill_estimates(desk)
        running = {OPENED + timedelta(days=n) for n in range((clock.at.date() - OPENED).days)}
        assert running <= set(estimated(desk, tub)) | metered(desk, tub)
        assert_books_hold(store)


def _take(desk: Desk, clock: StillClock, tub: TubId, step: tuple[str, int, int]) -> None:
    what, number, kwh = step
    try:
        if what in {"read", "exchange"}:
            on = min(OPENED + timedelta(days=number), clock.at.date())
            read(desk, tub, on, float(kwh), new_meter=what == "exchange")
        elif what == "delete":
            table = table_of(MeterReadingRow)
            with desk.read() as connection:
                ids = list(connection.execute(select(table.c.id)).scalars())
            if ids:
                delete_meter_reading(desk, ids[number % len(ids)])
        elif what == "fill":
            fill_estimates(desk)
        elif what == "day":
            clock.go(days=1)
        elif what == "undo":
            undo(desk)
        else:
            redo(desk)
    except TubcareError:
        # Refused with a reason: then nothing was written, and the promise holds as before.
        return
