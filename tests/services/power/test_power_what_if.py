"""What would lower the cost, and which hours are the cheapest to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from itertools import islice
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import SUNNY_MEANS as MEANS
from tests.support.chilled import chilled_tub, give_chiller
from tests.support.plans import add_tub
from tests.support.weather_files import prices_csv
from tubcare.clock import ViewClock
from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.tariff_plan import Band, TariffKind, TariffPlan
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.desk import Desk
from tubcare.services.household import POWER_PRICE, change_setting
from tubcare.services.measures import add_readings
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_hours import plan_hours
from tubcare.services.power_tariff import change_tariff, prices_from_file
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.power_what_if import compare_ideas, planned_season, what_if
from tubcare.services.tubs import change_profile, tubs
from tubcare.values import Liner, MonthDay, TubProfile

if TYPE_CHECKING:
    from tubcare.services.power_what_if import Compared
    from tubcare.values import TubId


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return chilled_tub(desk, opened=date(2026, 5, 1), liner=Liner.HDPE_PP)


@pytest.fixture
def ready(desk: Desk, tub: TubId) -> TubId:
    change_setting(desk, POWER_PRICE, "0.30")
    type_monthly_means(desk, tub, MEANS)
    return tub


def compared(desk: Desk, tub: TubId, *ideas: Idea) -> list[Compared]:
    return list(compare_ideas(what_if(desk, tub), ideas))


def test_the_tub_as_it_is_comes_first(desk: Desk, ready: TubId) -> None:
    (base,) = compared(desk, ready)
    assert base.idea is None
    assert base.outcome.saving_minor == 0.0
    assert base.outcome.cost_minor == pytest.approx(30 * base.outcome.kwh)


@pytest.mark.parametrize(
    "idea",
    [
        Idea(kind=IdeaKind.SET_POINT, amount=10.0),
        Idea(kind=IdeaKind.PUMP_HOURS, amount=8.0),
        Idea(kind=IdeaKind.SHADING, amount=0.9),
        Idea(kind=IdeaKind.WALL, build_up="xps_80_wood_20"),
        Idea(kind=IdeaKind.LID, build_up="foam_lid_80"),
        Idea(kind=IdeaKind.SEASON, amount=30.0),
        Idea(kind=IdeaKind.PRICE, amount=0.20),
    ],
)
def test_each_idea_saves_and_says_so(desk: Desk, ready: TubId, idea: Idea) -> None:
    base, changed = compared(desk, ready, idea)
    assert changed.outcome.saving_minor > 0.0
    assert changed.outcome.cost_minor + changed.outcome.saving_minor == pytest.approx(
        base.outcome.cost_minor
    )


BY_TIME = TariffPlan(
    kind=TariffKind.TIME_OF_USE,
    price=Decimal("0.40"),
    bands=(Band(from_minute=0, to_minute=360, price=Decimal("0.10")),),
)


def test_one_price_and_prices_by_time_of_day_are_compared_both_ways(
    desk: Desk, ready: TubId
) -> None:
    by_time, flat = (
        Idea(kind=IdeaKind.TARIFF, tariff=BY_TIME),
        Idea(kind=IdeaKind.PRICE, amount=0.30),
    )
    before, there = compared(desk, ready, by_time)
    change_tariff(desk, ready, BY_TIME)
    base, back = compared(desk, ready, flat)
    assert there.outcome.saving_minor == pytest.approx(-back.outcome.saving_minor)
    assert there.outcome.kwh == pytest.approx(before.outcome.kwh)
    assert base.outcome.cost_minor == pytest.approx(there.outcome.cost_minor)
    assert 10 * base.outcome.kwh < base.outcome.cost_minor < 40 * base.outcome.kwh


def test_other_kinds_of_price_that_the_tariff_keeps_are_compared_by_themselves(
    desk: Desk, ready: TubId
) -> None:
    start = datetime(2025, 1, 1)  # noqa: DTZ001  the file's own clock
    hourly = prices_from_file(desk, ready, prices_csv(start, 8760), per=None, in_utc=False)
    change_tariff(desk, ready, replace(BY_TIME, hourly=hourly))
    offered = [each.tariff for each in what_if(desk, ready).ideas if each.tariff is not None]
    assert {each.kind for each in offered} == {TariffKind.FLAT, TariffKind.HOURLY}


def test_hours_without_a_price_yet_count_at_the_usual_one_of_their_hour(
    desk: Desk, ready: TubId
) -> None:
    # The file is a year old: 0.10 by night, 0.30 by day, in every month.
    start = datetime(2025, 1, 1)  # noqa: DTZ001  the file's own clock
    hourly = prices_from_file(desk, ready, prices_csv(start, 8760), per=None, in_utc=False)
    last_year = Idea(
        kind=IdeaKind.TARIFF, tariff=TariffPlan(kind=TariffKind.HOURLY, hourly=hourly)
    )
    same_by_time = replace(
        BY_TIME,
        price=Decimal("0.30"),
        bands=(Band(from_minute=23 * 60, to_minute=7 * 60, price=Decimal("0.10")),),
    )
    by_time = Idea(kind=IdeaKind.TARIFF, tariff=same_by_time)
    base, hours, bands = compared(desk, ready, last_year, by_time)
    assert hours.outcome.missing_price_hours == 200 * 24 + 1
    assert hours.outcome.cost_minor == pytest.approx(bands.outcome.cost_minor)
    assert base.outcome.missing_price_hours == bands.outcome.missing_price_hours == 0


def test_a_tariff_without_a_price_is_refused_before_anything_is_computed(
    desk: Desk, ready: TubId
) -> None:
    with pytest.raises(InputError, match="part of the day"):
        compared(desk, ready, Idea(kind=IdeaKind.TARIFF, tariff=replace(BY_TIME, bands=())))


def test_a_longer_season_costs_more_and_one_of_over_a_year_is_refused(
    desk: Desk, ready: TubId
) -> None:
    as_it_is, longer = compared(desk, ready, Idea(kind=IdeaKind.SEASON, amount=-21.0))
    assert longer.outcome.kwh > as_it_is.outcome.kwh
    assert longer.outcome.saving_minor < 0
    asked = what_if(desk, ready)
    always = replace(asked, base=replace(asked.base, first=date(2026, 1, 1)))
    with pytest.raises(InputError, match="over a year"):
        list(compare_ideas(always, [Idea(kind=IdeaKind.SEASON, amount=-180.0)]))


def test_pay_back_is_the_price_over_the_saving(desk: Desk, ready: TubId) -> None:
    idea = Idea(kind=IdeaKind.LID, build_up="foam_lid_80", price_minor=6000)
    _base, lid = compared(desk, ready, idea)
    assert lid.outcome.pay_back_seasons == pytest.approx(6000 / lid.outcome.saving_minor)


def test_without_a_price_or_a_saving_there_is_no_pay_back(desk: Desk, ready: TubId) -> None:
    colder = Idea(kind=IdeaKind.SET_POINT, amount=3.0, price_minor=100)
    _base, free, dear = compared(desk, ready, Idea(kind=IdeaKind.SET_POINT, amount=10.0), colder)
    assert free.outcome.pay_back_seasons is None
    assert dear.outcome.saving_minor < 0.0
    assert dear.outcome.pay_back_seasons is None


def test_cost_saving_and_pay_back_come_with_the_range_of_what_is_not_known(
    desk: Desk, ready: TubId
) -> None:
    idea = Idea(kind=IdeaKind.PUMP_HOURS, amount=8.0, price_minor=6000)
    base, pump = compared(desk, ready, idea)
    cost, saving, back = (
        pump.outcome.cost_range,
        pump.outcome.saving_range,
        pump.outcome.pay_back_range,
    )
    assert cost is not None
    assert saving is not None
    assert back is not None
    assert base.outcome.saving_range is not None
    assert cost.low < pump.outcome.cost_minor < cost.high
    assert (back.soonest, back.latest) == (6000 / saving.high, 6000 / saving.low)
    assert base.outcome.saving_range.low == base.outcome.saving_range.high == 0.0


def test_a_saving_that_may_be_none_may_never_pay_back(desk: Desk, ready: TubId) -> None:
    # Near the point where a better wall keeps as much of the pump's heat in as it keeps out.
    (only,) = tubs(desk)
    autumn = replace(
        only.profile,
        pump_w=90.0,
        season_opens=MonthDay(month=9, day=1),
        season_closes=MonthDay(month=12, day=20),
    )
    change_profile(desk, ready, autumn)
    idea = Idea(kind=IdeaKind.WALL, build_up="xps_80_wood_20", price_minor=30000)
    _base, wall = compared(desk, ready, idea)
    back = wall.outcome.pay_back_range
    assert back is not None
    assert back.soonest < (wall.outcome.pay_back_seasons or 0.0)
    assert back.latest is None


def test_more_insulation_can_cost_more_where_the_pump_warms(desk: Desk, ready: TubId) -> None:
    # Below the set point all season long the pump's heat can only leave through the wall.
    (only,) = tubs(desk)
    change_profile(
        desk,
        ready,
        replace(
            only.profile,
            pump_w=200.0,
            season_opens=MonthDay(month=11, day=20),
            season_closes=MonthDay(month=2, day=20),
        ),
    )
    _base, better = compared(desk, ready, Idea(kind=IdeaKind.WALL, build_up="xps_80_wood_20"))
    assert better.outcome.traps_pump_heat
    assert better.outcome.saving_minor < 0.0


def test_stopping_ends_the_comparison(desk: Desk, ready: TubId) -> None:
    asked = what_if(desk, ready)
    seen = list(compare_ideas(asked, asked.ideas, should_stop=lambda: True))
    assert len(seen) == 1
    assert len(list(islice(compare_ideas(asked, asked.ideas), 3))) == 3


def test_the_first_ideas_differ_from_what_is_there(desk: Desk, ready: TubId) -> None:
    asked = what_if(desk, ready)
    there = asked.start.described
    assert asked.ideas
    assert all(idea.build_up not in {there.wall, there.lid} for idea in asked.ideas)


def test_what_is_missing_is_named_with_the_way_out(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="twelve monthly means"):
        what_if(desk, tub)
    type_monthly_means(desk, tub, MEANS)
    with pytest.raises(InputError, match="price of power"):
        what_if(desk, tub)


def test_an_idea_that_cannot_be_is_refused_before_anything_is_computed(
    desk: Desk, ready: TubId
) -> None:
    with pytest.raises(OutOfRangeError, match="set_point_c"):
        compared(desk, ready, Idea(kind=IdeaKind.SET_POINT, amount=90.0))
    with pytest.raises(InputError, match="wood_40"):
        compared(desk, ready, Idea(kind=IdeaKind.WALL, build_up="straw"))


@pytest.mark.parametrize(
    ("today", "opens", "closes", "first", "last"),
    [
        (date(2026, 6, 1), (4, 15), (11, 1), date(2026, 4, 15), date(2026, 10, 31)),
        (date(2026, 12, 1), (4, 15), (11, 1), date(2027, 4, 15), date(2027, 10, 31)),
        (date(2027, 1, 5), (11, 1), (3, 1), date(2026, 11, 1), date(2027, 2, 28)),
    ],
)
def test_the_planned_season_may_wrap_over_new_year(
    today: date, opens: tuple[int, int], closes: tuple[int, int], first: date, last: date
) -> None:
    profile = TubProfile(
        name="North",
        season_opens=MonthDay(month=opens[0], day=opens[1]),
        season_closes=MonthDay(month=closes[0], day=closes[1]),
    )
    assert planned_season(profile, today) == (first, last)


def test_the_chiller_runs_in_the_cheap_hours(desk: Desk, ready: TubId) -> None:
    cheap = Band(from_minute=0, to_minute=6 * 60, price=Decimal("0.05"))
    plan = TariffPlan(kind=TariffKind.TIME_OF_USE, price=Decimal("0.50"), bands=(cheap,))
    change_tariff(desk, ready, plan)
    add_readings(desk, ready, {"water_c": 6.0})
    found = plan_hours(desk, ready, low_c=3.0, high_c=9.0)
    night = sum(hour.run_share for hour in found.hours if hour.begins.hour < 6)
    assert night > 0.0
    assert found.saving.value >= 0.0
    assert found.cost.low < found.cost.value < found.cost.high
    assert len(found.hours) == 24
    assert found.hours[0].begins.hour == 16


def test_a_plan_for_another_day_begins_at_its_noon(desk: Desk, ready: TubId) -> None:
    ahead = Desk(desk.store, ViewClock(date(2026, 7, 14)), "Ann")
    plan = plan_hours(ahead, ready, low_c=3.0, high_c=6.0)
    assert plan.hours[0].begins.replace(tzinfo=None) == datetime(2026, 7, 14, 13)  # noqa: DTZ001


def test_a_chiller_that_is_held_off_by_the_cold_rests(desk: Desk, ready: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, ready).described
    change_build(desk, ready, replace(described, least_air_c=30.0))
    plan = plan_hours(desk, ready, low_c=3.0, high_c=6.0)
    assert plan.run_h == 0.0


def test_hours_are_planned_where_the_clock_stands_at_half_an_hour(desk: Desk) -> None:
    tub = add_tub(desk, zone="Asia/Kolkata", opened=date(2026, 5, 1))
    give_chiller(desk, tub)
    type_monthly_means(desk, tub, MEANS)
    start = datetime(2026, 6, 20)  # noqa: DTZ001  the file's own clock
    prices = prices_from_file(desk, tub, prices_csv(start, 48), per=None, in_utc=False)
    change_tariff(desk, tub, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
    found = plan_hours(desk, tub, low_c=3.0, high_c=9.0)
    assert [hour.begins.minute for hour in found.hours] == [30] * 24
    # Half of the hour from half past six is told by night, half by day.
    half = {hour.begins.hour: hour.price_minor for hour in found.hours}[6]
    assert half == pytest.approx(20.0)


def test_an_hour_without_a_price_is_refused(desk: Desk, ready: TubId) -> None:
    start = datetime(2026, 6, 20)  # noqa: DTZ001  the file's own clock
    prices = prices_from_file(desk, ready, prices_csv(start, 24), per=None, in_utc=False)
    change_tariff(desk, ready, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
    with pytest.raises(InputError, match="no price yet"):
        plan_hours(desk, ready, low_c=3.0, high_c=9.0)


def test_a_band_the_wrong_way_round_is_refused(desk: Desk, ready: TubId) -> None:
    with pytest.raises(OutOfRangeError, match="high_c"):
        plan_hours(desk, ready, low_c=8.0, high_c=4.0)
