"""The review of a year and of a season, on facts entered through the services."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.care.model import TubState
from tubcare.errors import InputError
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.review_model import Period
from tubcare.services.budgets import set_budgets
from tubcare.services.desk import Desk
from tubcare.services.measures import MeterValue, add_dip
from tubcare.services.meters import add_meter_reading
from tubcare.services.money import (
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    pay,
)
from tubcare.services.period_choices import PeriodKind, ledger_periods, review_periods
from tubcare.services.power_estimates import add_estimate
from tubcare.services.prices import Prices, prices, set_prices
from tubcare.services.reviews import review_of, season_review, year_review
from tubcare.services.supplies import supplies
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work

if TYPE_CHECKING:
    from tubcare.services.reviews import Reviewed
    from tubcare.values import TubId


def at(desk: Desk, day: date) -> Desk:
    """Return the desk of the same logbook on another day."""
    return Desk(desk.store, StillClock(noon(day.year, day.month, day.day)), desk.actor)


def spend(desk: Desk, on: date, minor: int, category: SpendCategory = SpendCategory.OTHER) -> None:
    pay(desk, DirectPurchase(on=on, category=category, minor=minor))


def buy_cartridges(desk: Desk, on: date, count: int, minor: int) -> None:
    buy_stock(
        desk,
        StockPurchase(
            on=on,
            supply="Cartridge",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=count * 1000,
            minor=minor,
        ),
    )


def season_of_two(desk: Desk) -> TubId:
    """Open a tub in two springs; the second season is running on 1 September 2026."""
    tub = add_tub(desk, opened=date(2025, 4, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2025, 10, 15))
    enter_state(desk, tub, TubState.OPEN, date(2026, 4, 10))
    return tub


NOW = date(2026, 9, 1)


def season_now(desk: Desk) -> Reviewed:
    """Return the review of the season that is running."""
    later = at(desk, NOW)
    newest = next(c for c in review_periods(later) if c.kind is PeriodKind.SEASON)
    return review_of(later, newest)


def test_years_and_seasons_are_offered_newest_first(desk: Desk) -> None:
    season_of_two(desk)
    spend(desk, date(2024, 12, 30), 100)
    offered = review_periods(at(desk, NOW))
    assert [c.year for c in offered if c.kind is PeriodKind.YEAR] == [2026, 2025, 2024]
    seasons = [c for c in offered if c.kind is PeriodKind.SEASON]
    assert [c.period.first for c in seasons] == [date(2026, 4, 10), date(2025, 4, 20)]
    assert seasons[0].tub_names == ("North",)
    assert ledger_periods(at(desk, NOW))[0].period == Period(first=date(2025, 9, 1), last=NOW)


def test_tubs_that_opened_together_share_a_season(desk: Desk) -> None:
    add_tub(desk, name="North")
    add_tub(desk, name="South")
    (season,) = [c for c in review_periods(desk) if c.kind is PeriodKind.SEASON]
    assert season.tub_names == ("North", "South")


def test_a_season_runs_to_the_day_before_the_next_and_stands_beside_the_one_before(
    desk: Desk,
) -> None:
    season_of_two(desk)
    for on, minor in (
        (date(2025, 4, 19), 1),
        (date(2025, 4, 20), 20),
        (date(2026, 4, 9), 300),
        (date(2026, 4, 10), 4000),
    ):
        spend(desk, on, minor)
    review = season_now(desk).review
    assert review.before == Period(first=date(2025, 4, 20), last=date(2026, 4, 9))
    assert (review.paid.total.minor, review.paid.before_whole_minor) == (4000, 320)


def test_what_runs_is_set_against_as_many_days_of_the_one_before(desk: Desk) -> None:
    season_of_two(desk)
    # The season from 10 April has had 145 days on 1 September; those of the one before end on
    # 11 September.
    for on, minor in (
        (date(2025, 9, 11), 500),
        (date(2025, 9, 12), 70),
        (date(2026, 8, 1), 600),
    ):
        spend(desk, on, minor, SpendCategory.REPAIRS)
    found = season_now(desk)
    paid = found.review.paid
    assert (paid.change_minor, paid.before_whole_minor) == (100, 570)
    assert [line.change_minor for line in paid.categories] == [100]
    assert found.effects.total.change_minor == 100
    beside = paid.beside(found.review)
    assert beside is not None
    assert sum(minor or 0 for minor in beside) == 570


def test_a_period_that_is_over_is_set_against_all_of_the_one_before(desk: Desk) -> None:
    for on, minor in ((date(2024, 12, 30), 500), (date(2025, 2, 1), 700)):
        spend(desk, on, minor)
    paid = year_review(at(desk, NOW), 2025).review.paid
    assert (paid.change_minor, paid.before_whole_minor) == (200, 500)


def test_months_of_a_season_stand_beside_the_same_months_a_year_earlier(desk: Desk) -> None:
    season_of_two(desk)
    spend(desk, date(2025, 6, 5), 600)
    spend(desk, date(2026, 6, 7), 700)
    review = season_now(desk).review
    beside = review.paid.beside(review)
    assert beside is not None
    june = [m.month for m in review.months].index(6)
    assert (review.paid.by_month[june], beside[june]) == (700, 600)


def test_budgets_of_a_season_are_the_years_share_by_days(desk: Desk) -> None:
    season_of_two(desk)
    set_budgets(desk, 2026, {SpendCategory.POWER: 36_500})
    spend(desk, date(2026, 6, 1), 10_000, SpendCategory.POWER)
    line = season_now(desk).review.paid.budget.lines[0]
    # 2027 has no budget of its own, so it goes on as in 2026: 365 days at 100 a day.
    assert (line.category, line.budget_minor, line.left_minor) == (
        SpendCategory.POWER,
        36_500,
        26_500,
    )


def test_power_is_forecast_at_its_rate_on_open_days_to_the_planned_closing(desk: Desk) -> None:
    tub = season_of_two(desk)
    set_prices(desk, Prices(power_per_kwh=Decimal("0.10")))
    for on, kwh in ((date(2026, 4, 30), 1000), (date(2026, 5, 30), 1300)):
        value = MeterValue(counter="kwh", value_milli=kwh * 1000)
        add_meter_reading(at(desk, on), tub, value, on=on)
    forecast = season_now(desk).review.used.forecast
    # 300 kWh at 0.10 in 30 days is 100 a day; open from 31 May to 31 October (154 days), and from
    # the planned opening on 15 April 2027 no day lies in this season.
    assert forecast.by_category[SpendCategory.POWER] == 15_400


def test_stock_to_come_is_used_at_its_average_and_paid_when_the_shelf_is_empty(desk: Desk) -> None:
    tub = season_of_two(desk)
    buy_cartridges(desk, date(2026, 4, 1), 2, 2000)
    (supply,) = supplies(desk)
    # A task of the filter that uses a supply of another kind of spending: the supply's counts.
    add_task(desk, tub, usual_minor=50, supplies={supply.id: 1000}, starts_on=date(2026, 7, 4))
    review = year_review(at(desk, date(2026, 9, 1)), 2026).review
    # Due every 30 days from 3 August: today, and on 1 October, 31 October, 30 November and
    # 30 December; five times, of which the shelf holds two.
    used, paid = review.used.forecast.by_category, review.paid.forecast.by_category
    assert used[SpendCategory.FILTERS] == 5 * 1000 + 5 * 50
    assert paid[SpendCategory.FILTERS] == 3 * 1000 + 5 * 50


def test_the_write_off_to_come_is_forecast_and_not_used_yet(desk: Desk) -> None:
    season_of_two(desk)
    add_build_cost(desk, BuildCost(on=date(2026, 1, 1), minor=120_000, months=12, note="Chest"))
    review = year_review(at(desk, date(2026, 8, 31)), 2026).review
    assert review.used.total.minor == 80_000
    assert review.used.by_month == (10_000,) * 8 + (0,) * 4
    assert review.used.forecast.by_category == {SpendCategory.BUILD: 40_000}
    assert review.used.forecast.total_minor == 120_000
    assert review.paid.forecast.total_minor == 120_000


def test_a_year_that_is_over_has_nothing_to_come(desk: Desk) -> None:
    season_of_two(desk)
    add_build_cost(desk, BuildCost(on=date(2025, 1, 1), minor=120_000, months=24, note="Chest"))
    found = year_review(at(desk, NOW), 2025)
    assert found.is_over
    assert found.review.used.total.minor == 60_000
    assert found.review.used.forecast.expected_minor == 0


def test_cost_per_open_day_and_per_dip(desk: Desk) -> None:
    season_of_two(desk)
    spend(desk, date(2026, 4, 12), 14_500)
    for day in range(5):
        add_dip(at(desk, date(2026, 5, 1) + timedelta(days=day)), dips=2)
    found = season_now(desk).review
    # Open from 10 April to 1 September: 145 days.
    assert (found.open_days, found.dips) == (145, 10)
    assert (found.paid.total.per_open_day_minor, found.paid.total.per_dip_minor) == (100, 1450)


def test_what_was_done_and_what_was_missed_is_counted_for_each_task(desk: Desk) -> None:
    tub = season_of_two(desk)
    kept = add_task(desk, tub, title="Test the water")
    neglected = add_task(desk, tub, title="Clean the coil")
    for month in (5, 6, 7, 8):
        day = date(2026, month, 25)
        record_work(at(desk, day), kept, Work(on=day), restarts=True)
    lines = {line.task: line for line in season_now(desk).review.used.tasks}
    assert (lines[kept].done, lines[kept].missed) == (4, 0)
    # Overdue since spring and never done: that is one missed, and not nothing.
    assert (lines[neglected].done, lines[neglected].missed) == (0, 1)


def test_price_and_quantity_are_told_apart_and_all_parts_add_up_to_the_change(desk: Desk) -> None:
    tub = season_of_two(desk)
    task = add_task(desk, tub, title="Swap the filter")
    buy_cartridges(desk, date(2025, 5, 1), 2, 2000)
    (supply,) = supplies(desk)
    for day in (date(2025, 5, 2), date(2025, 6, 2)):
        record_work(at(desk, day), task, Work(on=day, uses={supply.id: 1000}), restarts=True)
    buy_cartridges(desk, date(2026, 5, 1), 3, 3600)
    for month in (5, 6, 7):
        day = date(2026, month, 2)
        record_work(at(desk, day), task, Work(on=day, uses={supply.id: 1000}), restarts=True)
    spend(desk, date(2026, 6, 1), 777, SpendCategory.REPAIRS)
    found = year_review(at(desk, NOW), 2026)
    items = {item.key: item for item in found.effects.items}
    cartridge = items["supply:Cartridge"]
    # From 2 at 10.00 to 3 at 12.00: price (12-10)*2, quantity (3-2)*10, both (12-10)*(3-2).
    assert (cartridge.price_minor, cartridge.quantity_minor, cartridge.joint_minor) == (
        400,
        1000,
        200,
    )
    assert items["rest:repairs"].other_minor == 777
    assert found.effects.total.change_minor == found.review.used.change_minor == 1600 + 777


def test_power_over_new_year_counts_in_each_year_by_its_days(desk: Desk) -> None:
    tub = season_of_two(desk)
    set_prices(desk, Prices(power_per_kwh=Decimal("0.10")))
    for on, kwh in ((date(2025, 12, 21), 1000), (date(2026, 1, 20), 1300)):
        value = MeterValue(counter="kwh", value_milli=kwh * 1000)
        add_meter_reading(at(desk, on), tub, value, on=on)
    found = year_review(at(desk, date(2027, 1, 1)), 2026)
    power = next(item for item in found.effects.items if item.key == "meter:power")
    # 10 of the 30 days lie in 2025, 20 in 2026, at one price: quantity alone.
    assert (power.price_minor, power.quantity_minor, power.joint_minor) == (0, 1000, 0)
    assert found.effects.total.change_minor == found.review.used.change_minor


def test_a_season_of_the_terminal_is_the_same_review(desk: Desk) -> None:
    season_of_two(desk)
    spend(desk, date(2026, 6, 1), 4200)
    assert season_review(at(desk, NOW), 2026).review == season_now(desk).review


def test_prices_are_kept_as_written_and_refused_below_zero(desk: Desk) -> None:
    set_prices(desk, Prices(power_per_kwh=Decimal("0.3215"), water_per_m3=Decimal("1.5")))
    set_prices(desk, Prices(water_per_m3=Decimal(2)))
    assert prices(desk) == Prices(power_per_kwh=Decimal("0.3215"), water_per_m3=Decimal(2))
    with pytest.raises(InputError, match="price"):
        set_prices(desk, Prices(power_per_kwh=Decimal(-1)))


def test_the_estimated_part_of_the_power_is_known_by_its_days(desk: Desk) -> None:
    tub = season_of_two(desk)
    with desk.write("estimate", "power", frozenset()) as unit:
        add_estimate(
            unit,
            tub,
            from_date=date(2025, 12, 21),
            on_date=date(2026, 1, 20),
            minor=3000,
            quantity_milli=10_000,
        )
    found = year_review(at(desk, NOW), 2026)
    # 20 of the 30 days lie in 2026.
    assert found.estimated_minor == 2000
    assert found.review.used.total.minor == 2000
