"""What a tub's cold costs: metered, modelled with its range, at the tariff."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import MEANS, give_chiller
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tests.support.weather_files import hourly_csv, prices_csv
from tubcare.care.model import TubState
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff_plan import Band, TariffKind, TariffPlan
from tubcare.energy.weather_columns import Question, Unit
from tubcare.energy.weather_text import Answers
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.entries import entries
from tubcare.services.history import undo
from tubcare.services.household import POWER_PRICE, change_setting
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.services.power import power
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_tariff import (
    change_tariff,
    prices_from_file,
    tariff_of,
)
from tubcare.services.power_weather import (
    FileClock,
    import_weather,
    preview_weather,
    type_monthly_means,
)
from tubcare.services.power_weather_known import known_weather, monthly_means, weather_series
from tubcare.services.tubs import change_profile, enter_state, tubs

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.services.power import Power
    from tubcare.values import TubId

MAY = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 6, 20))


@pytest.fixture
def tub(desk: Desk) -> TubId:
    tub = add_tub(desk, opened=date(2026, 5, 1))
    give_chiller(desk, tub)
    return tub


def read(desk: Desk, tub: TubId, on: date, kwh: float) -> None:
    add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=round(kwh * 1000)), on=on)


def modelled_kwh(found: Power) -> float:
    assert found.season is not None
    assert found.season.modelled is not None
    return found.season.modelled.kwh.value


def test_without_weather_the_meter_is_told_and_nothing_is_modelled(desk: Desk, tub: TubId) -> None:
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 116.0)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.metered_kwh == pytest.approx(16.0)
    assert found.season.metered_days == 10
    assert found.season.modelled is None
    assert not found.has_weather


def test_a_meter_read_on_the_day_of_the_closing_covers_no_more_days_than_there_were(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    read(desk, tub, date(2026, 5, 10), 100.0)
    clock.set(date(2026, 5, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 20))
    read(desk, tub, date(2026, 5, 20), 130.0)
    season = power(desk, tub).season
    assert season is not None
    assert season.metered_days > 0
    assert season.metered_days <= season.running_days


def test_a_tub_that_was_never_opened_has_no_season(desk: Desk) -> None:
    tub = add_tub(desk, opened=None)
    assert power(desk, tub).season is None


def test_an_estimate_carries_a_range(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    kwh = found.season.modelled.kwh
    assert 0.0 < kwh.low < kwh.value < kwh.high
    assert found.season.modelled_days == 51


def test_months_and_weeks_add_up_to_the_season(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    for parts in (found.months, found.weeks):
        kwh = sum(part.modelled.kwh.value for part in parts if part.modelled)
        assert kwh == pytest.approx(modelled_kwh(found), rel=1e-9)


def test_the_meter_goes_before_the_model_and_the_rest_is_filled(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    before = power(desk, tub)
    read(desk, tub, date(2026, 5, 1), 100.0)
    read(desk, tub, date(2026, 6, 20), 160.0)
    found = power(desk, tub)
    assert before.season is not None
    assert before.season.filled_kwh == before.season.modelled.kwh if before.season.modelled else 0
    assert found.season is not None
    assert found.season.filled_kwh is not None
    # 60 kWh metered from 2 May on; only 1 May is left to the model.
    assert 60.0 < found.season.filled_kwh.value < 63.0
    assert found.season.filled_kwh.high - found.season.filled_kwh.low < 1.5


def test_costs_follow_the_price(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    assert not power(desk, tub).has_price
    change_setting(desk, POWER_PRICE, "0.30")
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    assert found.season.modelled.cost_minor is not None
    assert found.season.modelled.cost_minor.value == pytest.approx(30 * modelled_kwh(found))


def test_a_resting_chiller_costs_nothing_but_the_pump(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    enter_state(desk, tub, TubState.CHILLER_RESTING, date(2026, 6, 1))
    june = power(desk, tub).month
    assert june is not None
    assert june.modelled is not None
    assert june.modelled.kwh.value == pytest.approx(20 * 24 * 0.040)
    assert june.modelled.run_h.value == 0.0
    assert june.modelled.starts.value == 0.0


def test_the_starts_of_the_compressor_are_those_of_its_thermostat(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    counted = found.season.modelled
    assert counted.starts.low <= counted.starts.value <= counted.starts.high
    assert 0.0 < counted.run_h.value / counted.starts.value < 24.0
    assert sum(month.modelled.starts.value for month in found.months if month.modelled) == (
        pytest.approx(counted.starts.value)
    )


def test_a_closed_season_ends_with_its_closing(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 6, 1))
    season = power(desk, tub).season
    assert season is not None
    assert (season.last, season.running_days) == (date(2026, 6, 1), 31)


def test_fewer_pump_hours_and_a_better_wall_cost_less(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    whole = modelled_kwh(power(desk, tub))
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, pump_hours_per_day=8.0, wall="xps_80_wood_20"))
    assert modelled_kwh(power(desk, tub)) < 0.7 * whole
    undo(desk)
    assert modelled_kwh(power(desk, tub)) == pytest.approx(whole)


def test_only_what_differs_from_the_profile_is_kept(desk: Desk, tub: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, shading=0.5))
    with desk.read() as connection:
        build = read_build(connection, tub)
    assert build.told == frozenset({"shading"})
    assert build.described.shading == 0.5


def test_a_build_that_cannot_be_is_refused(desk: Desk, tub: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, tub).described
    with pytest.raises(OutOfRangeError, match="shading"):
        change_build(desk, tub, replace(described, shading=1.5))
    with pytest.raises(InputError, match="wood_40"):
        change_build(desk, tub, replace(described, wall="straw"))


def test_measured_hours_go_before_the_typical_ones(desk: Desk, tub: TubId) -> None:
    import_weather(desk, tub, hourly_csv(MAY, 31 * 24, mean_c=25.0), source="may.csv")
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 31
    may = found.months[0].modelled
    type_monthly_means(desk, tub, MEANS)
    both = power(desk, tub)
    assert both.season is not None
    assert both.season.modelled_days == 51
    assert may is not None
    assert both.months[0].modelled is not None
    assert both.months[0].modelled.kwh.value == pytest.approx(may.kwh.value, rel=0.01)
    assert 0.35 < both.typical_share < 0.45


def test_a_weather_file_is_looked_at_before_it_is_taken(desk: Desk, tub: TubId) -> None:
    text = hourly_csv(MAY, 72)
    lines = text.splitlines()
    preview = preview_weather(desk, tub, "\n".join([*lines[:30], *lines[40:]]))
    assert [(gap.first.hour, gap.count) for gap in preview.gaps] == [(5, 10)]
    assert preview.usable
    assert not power(desk, tub).has_weather
    unclear = preview_weather(desk, tub, text.replace(" (C)", ""))
    assert unclear.questions == (Question.TEMPERATURE_UNIT,)
    answered = preview_weather(
        desk, tub, text.replace(" (C)", ""), answers=Answers(unit=Unit.FAHRENHEIT)
    )
    assert answered.usable


def test_a_file_that_goes_on_from_the_one_before_is_put_together_with_it(
    desk: Desk, tub: TubId
) -> None:
    first, second = (hourly_csv(MAY + timedelta(days=n), 24 * 10) for n in (0, 8))
    import_weather(desk, tub, first, source="early.csv")
    preview = preview_weather(desk, tub, second)
    assert (preview.joins, preview.replaces) == ("early.csv", "")
    import_weather(desk, tub, second, source="late.csv")
    measured = weather_series(desk, tub).site.measured
    assert measured is not None
    assert measured.hours.count == 24 * 18
    assert measured.weather.missing == 0
    kept = known_weather(desk, tub).measured
    assert kept is not None
    assert (kept.source, kept.last_on) == ("early.csv, late.csv", date(2026, 5, 18))
    undo(desk)
    before = known_weather(desk, tub).measured
    assert before is not None
    assert before.source == "early.csv"


@pytest.mark.parametrize(("day", "days"), [(20, 5), (-1, 12)])
def test_a_file_apart_from_the_one_before_or_all_around_it_takes_its_place(
    desk: Desk, tub: TubId, day: int, days: int
) -> None:
    import_weather(desk, tub, hourly_csv(MAY, 24 * 10), source="early.csv")
    other = hourly_csv(MAY + timedelta(days=day), 24 * days)
    assert preview_weather(desk, tub, other).replaces == "early.csv"
    import_weather(desk, tub, other, source="other.csv")
    kept = known_weather(desk, tub).measured
    assert kept is not None
    assert kept.source == "other.csv"


def test_a_file_in_utc_lands_on_the_tubs_own_days(desk: Desk, tub: TubId) -> None:
    # 21:00 UTC is midnight in Helsinki in summer: the file covers 2 May whole.
    start = datetime(2026, 5, 1, 21)  # noqa: DTZ001  the file's own clock
    import_weather(desk, tub, hourly_csv(start, 24), source="utc.csv", clock=FileClock.UTC)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 1


def test_monthly_means_come_back_as_typed(desk: Desk, tub: TubId) -> None:
    assert monthly_means(desk, tub) is None
    type_monthly_means(desk, tub, MEANS)
    assert monthly_means(desk, tub) == MEANS


def test_monthly_means_bring_sun_once_the_latitude_is_known(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    assert known_weather(desk, tub).without_sun
    dull = modelled_kwh(power(desk, tub))
    (only,) = tubs(desk)
    change_profile(desk, tub, replace(only.profile, latitude_deg=60.0))
    assert not known_weather(desk, tub).without_sun
    assert modelled_kwh(power(desk, tub)) > dull


def test_a_time_of_use_tariff_prices_the_metered_span(desk: Desk, tub: TubId) -> None:
    plan = TariffPlan(
        kind=TariffKind.TIME_OF_USE,
        price=Decimal("0.30"),
        bands=(Band(from_minute=0, to_minute=12 * 60, price=Decimal("0.10")),),
    )
    change_tariff(desk, tub, plan)
    assert tariff_of(desk, tub) == plan
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 120.0)
    (charge,) = entries(desk, first=date(2026, 5, 1), last=date(2026, 6, 1))
    # Noon to noon ten days on: half of the hours at each price, so 0.20 in the mean.
    assert charge.minor == pytest.approx(400, abs=2)


def test_a_metered_span_is_weighed_by_when_the_model_says_it_was_drawn(
    desk: Desk, tub: TubId
) -> None:
    # Colder than the water all day: only the pump draws, eight hours around noon.
    type_monthly_means(desk, tub, MonthlyMeans(air_c=(2.0,) * 12, swing_k=(0.5,) * 12))
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, pump_hours_per_day=8.0))
    share = power(desk, tub).site.site.tub.pump.share_by_hour()
    runs = [hour for hour, part in enumerate(share) if part]
    band = Band(from_minute=runs[0] * 60, to_minute=runs[-1] * 60 + 60, price=Decimal("0.10"))
    plan = TariffPlan(kind=TariffKind.TIME_OF_USE, price=Decimal("0.40"), bands=(band,))
    change_tariff(desk, tub, plan)
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 120.0)
    booked = entries(desk, first=date(2026, 5, 1), last=date(2026, 6, 1))
    (charge,) = [each for each in booked if not each.is_estimate]
    assert charge.minor == 200
    season = power(desk, tub).season
    assert season is not None
    assert season.filled_minor is not None
    assert season.filled_kwh is not None
    assert season.filled_minor.value == pytest.approx(10 * season.filled_kwh.value)


def test_tax_is_in_a_flat_charge(desk: Desk, tub: TubId) -> None:
    change_tariff(desk, tub, TariffPlan(price=Decimal("0.20"), tax_percent=Decimal(25)))
    read(desk, tub, date(2026, 5, 10), 100.0)
    read(desk, tub, date(2026, 5, 20), 120.0)
    (charge,) = entries(desk, first=date(2026, 5, 1), last=date(2026, 6, 1))
    assert charge.minor == 500


def test_hourly_prices_leave_a_day_without_a_price_incomplete(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    prices = prices_from_file(desk, tub, prices_csv(MAY, 24 * 30), per=None, in_utc=False)
    change_tariff(desk, tub, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
    assert tariff_of(desk, tub).hourly == prices
    found = power(desk, tub)
    assert found.missing_price_hours == (51 - 30) * 24
    may = found.months[0].modelled
    assert may is not None
    assert may.cost_minor is not None
    assert 10 < may.cost_minor.value / may.kwh.value < 30


def test_a_day_without_a_price_is_never_free(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    prices = prices_from_file(desk, tub, prices_csv(MAY, 24 * 30), per=None, in_utc=False)
    change_tariff(desk, tub, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
    may, june = power(desk, tub).months
    assert (may.unpriced_days, june.unpriced_days) == (1, 20)
    assert may.filled_minor is not None
    assert june.filled_kwh is not None
    assert june.filled_minor is None


def test_hourly_prices_work_where_the_clock_stands_at_half_an_hour(desk: Desk) -> None:
    tub = add_tub(desk, zone="Asia/Kolkata", opened=date(2026, 5, 1))
    give_chiller(desk, tub)
    type_monthly_means(desk, tub, MEANS)
    prices = prices_from_file(desk, tub, prices_csv(MAY, 24 * 51), per=None, in_utc=False)
    change_tariff(desk, tub, TariffPlan(kind=TariffKind.HOURLY, hourly=prices))
    assert tariff_of(desk, tub).hourly == prices
    found = power(desk, tub)
    assert found.missing_price_hours == 0
    assert found.season is not None
    assert found.season.filled_kwh is not None
    assert found.season.filled_minor is not None
    assert 10 < found.season.filled_minor.value / found.season.filled_kwh.value < 30


def test_a_price_file_that_does_not_name_its_unit_is_asked_about(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="kWh or a MWh"):
        prices_from_file(desk, tub, prices_csv(MAY, 24, name="price"), per=None, in_utc=False)


def test_a_day_of_25_hours_has_25_prices(desk: Desk, tub: TubId) -> None:
    hours = (0, 1, 2, 3, 3, *range(4, 24))
    rows = [f"2026-10-25 {hour:02}:00,{100 if hour < 12 else -20}" for hour in hours]
    rows.insert(0, "time,price EUR/MWh")
    prices = prices_from_file(desk, tub, "\n".join(rows), per=None, in_utc=False)
    assert len(prices.prices) == 25
    assert prices.missing == 0
    assert prices.prices[0] == Decimal("0.1")
    assert prices.prices[-1] == Decimal("-0.02")


def test_a_missing_hour_is_not_a_price_of_nothing(desk: Desk, tub: TubId) -> None:
    lines = prices_csv(MAY, 24).splitlines()
    prices = prices_from_file(desk, tub, "\n".join(lines[:5] + lines[6:]), per=None, in_utc=False)
    assert prices.missing == 1
    assert prices.prices[4] is None


def test_a_tariff_without_a_price_is_refused(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="price of a kilowatt hour"):
        change_tariff(desk, tub, TariffPlan())
    with pytest.raises(InputError, match="part of the day"):
        change_tariff(desk, tub, TariffPlan(kind=TariffKind.TIME_OF_USE, price=Decimal(1)))


def test_the_view_of_the_standing_charge_is_kept(desk: Desk, tub: TubId) -> None:
    plan = TariffPlan(
        price=Decimal("0.2"), standing_per_day=Decimal("0.38"), view=StandingView.OWN_METER
    )
    change_tariff(desk, tub, plan)
    assert tariff_of(desk, tub).view is StandingView.OWN_METER


@pytest.mark.parametrize(
    ("view", "share"),
    [(StandingView.MARGINAL, 0.0), (StandingView.OWN_METER, 1.0), (StandingView.BY_ENERGY, None)],
)
def test_the_standing_charge_is_told_in_the_chosen_view(
    desk: Desk, tub: TubId, view: StandingView, share: float | None
) -> None:
    type_monthly_means(desk, tub, MEANS)
    plan = TariffPlan(
        price=Decimal("0.2"),
        standing_per_day=Decimal("0.40"),
        view=view,
        household_kwh_a_year=Decimal(7300),
    )
    change_tariff(desk, tub, plan)
    season = power(desk, tub).season
    assert season is not None
    assert season.filled_kwh is not None
    if share is None:
        # Shared by energy: the tub's kilowatt hours over 20 kWh a day of the whole household.
        share = season.filled_kwh.value / (20.0 * 51)
    assert season.standing_minor == pytest.approx(51 * 40 * share)


def test_a_season_on_record_is_told_whole(desk: Desk, tub: TubId, clock: StillClock) -> None:
    type_monthly_means(desk, tub, MEANS)
    clock.go(days=180)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 231
    assert found.season.first + timedelta(days=230) == found.season.last
