"""What the power costs: bands, hourly prices, tax and the standing charge."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import MEANS, give_chiller, read_kwh
from tests.support.plans import add_tub
from tests.support.weather_files import prices_csv
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff_plan import Band, TariffKind, TariffPlan
from tubcare.errors import InputError
from tubcare.services.entries import entries
from tubcare.services.power import power
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_tariff import change_tariff, prices_from_file, tariff_of
from tubcare.services.power_weather import type_monthly_means

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


MAY = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock


def test_a_time_of_use_tariff_prices_the_metered_span(desk: Desk, tub: TubId) -> None:
    plan = TariffPlan(
        kind=TariffKind.TIME_OF_USE,
        price=Decimal("0.30"),
        bands=(Band(from_minute=0, to_minute=12 * 60, price=Decimal("0.10")),),
    )
    change_tariff(desk, tub, plan)
    assert tariff_of(desk, tub) == plan
    read_kwh(desk, tub, date(2026, 5, 10), 100.0)
    read_kwh(desk, tub, date(2026, 5, 20), 120.0)
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
    read_kwh(desk, tub, date(2026, 5, 10), 100.0)
    read_kwh(desk, tub, date(2026, 5, 20), 120.0)
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
    read_kwh(desk, tub, date(2026, 5, 10), 100.0)
    read_kwh(desk, tub, date(2026, 5, 20), 120.0)
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
