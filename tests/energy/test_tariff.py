from __future__ import annotations

import math
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.energy.cheap_hours import cheapest_hours
from tubcare.energy.energy_price import FlatPrice, PriceBand, TimeOfUse
from tubcare.energy.hourly_price import HourlyPrice
from tubcare.energy.hours import HourRange, hours_of_days
from tubcare.energy.price_text import read_prices
from tubcare.energy.standing_charge import StandingView, standing_minor
from tubcare.energy.tariff import Tariff, hourly_minor
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Callable

HELSINKI = ZoneInfo("Europe/Helsinki")
HOUR = timedelta(hours=1)


def test_an_autumn_day_has_25_hours_and_a_spring_day_23() -> None:
    hours = hours_of_days(date(2025, 10, 25), date(2025, 10, 27), HELSINKI)
    assert np.unique(hours.local_day, return_counts=True)[1].tolist() == [24, 25, 24]
    spring = hours_of_days(date(2025, 3, 30), date(2025, 3, 30), HELSINKI)
    assert spring.count == 23
    assert 3 not in spring.local_hour


def test_a_half_hour_zone_keeps_whole_hours() -> None:
    hours = hours_of_days(date(2025, 6, 1), date(2025, 6, 1), ZoneInfo("Asia/Kolkata"))
    assert hours.count == 24
    assert hours.start.minute == 0


def test_a_missing_price_marks_its_day_and_is_never_taken_as_free() -> None:
    hours = hours_of_days(date(2025, 6, 1), date(2025, 6, 2), HELSINKI)
    prices = {hours.start + timedelta(hours=n): Decimal(10) for n in range(hours.count) if n != 30}
    minor = hourly_minor(Tariff(energy=HourlyPrice(by_start=prices)), hours, np.ones(hours.count))
    assert np.flatnonzero(np.isnan(minor)).tolist() == [30]
    assert float(np.nansum(minor)) == pytest.approx(470.0)


def test_negative_prices_earn() -> None:
    hours = HourRange(start=datetime(2025, 6, 1, tzinfo=UTC), count=2, zone=ZoneInfo("UTC"))
    prices = {hours.start: Decimal(-5), hours.start + timedelta(hours=1): Decimal(2)}
    minor = hourly_minor(Tariff(energy=HourlyPrice(by_start=prices)), hours, np.ones(2))
    assert minor.tolist() == [-5.0, 2.0]


def test_a_band_over_midnight_and_weekdays() -> None:
    hours = hours_of_days(date(2025, 6, 6), date(2025, 6, 7), ZoneInfo("UTC"))  # Friday, Saturday
    night = PriceBand(
        from_minute=22 * 60,
        to_minute=6 * 60,
        price_minor_kwh=Decimal(5),
        weekdays=frozenset({4}),
    )
    tariff = TimeOfUse(bands=(night,), otherwise_minor_kwh=Decimal(20))
    prices = tariff.minor_per_kwh(hours)
    assert (prices[:6] == 5.0).all()
    assert (prices[22:24] == 5.0).all()
    assert (prices[24:] == 20.0).all()


def test_tax_raises_energy_and_standing_charge_alike() -> None:
    hours = HourRange(start=datetime(2025, 6, 1, tzinfo=UTC), count=10, zone=ZoneInfo("UTC"))
    tariff = Tariff(
        energy=FlatPrice(price_minor_kwh=Decimal(10)),
        standing_minor_day=Decimal(30),
        tax_percent=Decimal(25),
    )
    assert float(hourly_minor(tariff, hours, np.ones(10)).sum()) == pytest.approx(125.0)
    own = standing_minor(tariff, days=2, view=StandingView.OWN_METER, tub_kwh=1.0)
    assert own == Decimal(75)


def test_the_standing_charge_is_not_part_of_the_marginal_cost() -> None:
    tariff = Tariff(energy=FlatPrice(price_minor_kwh=Decimal(10)), standing_minor_day=Decimal(30))
    marginal = standing_minor(tariff, days=100, view=StandingView.MARGINAL, tub_kwh=50.0)
    assert marginal == 0


def test_sharing_by_energy_needs_the_whole_meter() -> None:
    tariff = Tariff(energy=FlatPrice(price_minor_kwh=Decimal(10)), standing_minor_day=Decimal(30))
    with pytest.raises(InputError, match="whole meter"):
        standing_minor(tariff, days=1, view=StandingView.BY_ENERGY, tub_kwh=5.0, all_kwh=4.0)


@given(
    prices=st.lists(st.floats(-50, 200), min_size=1, max_size=48),
    share=st.floats(0.0, 1.0),
)
def test_no_other_choice_of_hours_is_cheaper(prices: list[float], share: float) -> None:
    need_h = math.floor(share * len(prices))
    picked = cheapest_hours(np.array(prices), need_h=need_h)
    cost = sum(prices[hour] * part for hour, part in picked)
    assert cost == pytest.approx(sum(sorted(prices)[:need_h]), abs=1e-9)


def test_hours_without_a_price_are_never_picked() -> None:
    picked = cheapest_hours(np.array([np.nan, 5.0, 3.0]), need_h=1.5)
    assert picked == ((1, 0.5), (2, 1.0))
    with pytest.raises(OutOfRangeError, match="need_h"):
        cheapest_hours(np.array([np.nan, 5.0]), need_h=2.0)


def test_a_band_that_begins_at_half_past_counts_for_half_of_its_hour() -> None:
    # By hand: 7.5 for the half hours, 5 within the band, 10 outside.
    night = PriceBand(from_minute=23 * 60 + 30, to_minute=6 * 60 + 30, price_minor_kwh=Decimal(5))
    tariff = TimeOfUse(bands=(night,), otherwise_minor_kwh=Decimal(10))
    hours = hours_of_days(date(2025, 6, 8), date(2025, 6, 8), HELSINKI)  # Sunday into Monday
    prices = tariff.minor_per_kwh(hours).tolist()
    assert prices == [5.0] * 6 + [7.5] + [10.0] * 16 + [7.5]


@pytest.mark.parametrize("zone", ["Asia/Kolkata", "Europe/Helsinki", "Australia/Lord_Howe"])
def test_bands_cost_what_their_minutes_cost(zone: str) -> None:
    # Minute by minute on the local clock, by zoneinfo alone.
    place = ZoneInfo(zone)
    bands = (
        PriceBand(
            from_minute=17 * 60 + 15,
            to_minute=20 * 60,
            price_minor_kwh=Decimal(40),
            weekdays=frozenset(range(5)),
        ),
        PriceBand(from_minute=22 * 60, to_minute=7 * 60 + 30, price_minor_kwh=Decimal(-3)),
    )
    hours = hours_of_days(date(2025, 10, 24), date(2025, 10, 27), place)
    total = 0.0
    for minute in range(hours.count * 60):
        local = (hours.start + timedelta(minutes=minute)).astimezone(place)
        in_day = local.hour * 60 + local.minute
        if local.weekday() < 5 and 17 * 60 + 15 <= in_day < 20 * 60:
            total += 40.0
        else:
            total += -3.0 if in_day >= 22 * 60 or in_day < 7 * 60 + 30 else 25.0
    tariff = Tariff(energy=TimeOfUse(bands=bands, otherwise_minor_kwh=Decimal(25)))
    minor = hourly_minor(tariff, hours, np.ones(hours.count))
    assert float(minor.sum()) == pytest.approx(total / 60.0, rel=1e-9)


def _published(first: date, last: date, place: ZoneInfo) -> tuple[str, dict[datetime, int]]:
    """Return hourly prices as a file on the place's clock, and by the instant they begin at."""
    at = datetime.combine(first, time(), place).astimezone(UTC)
    end = datetime.combine(last + timedelta(days=1), time(), place).astimezone(UTC)
    rows, by_start = ["hour,price EUR/kWh"], {}
    while at < end:
        local = at.astimezone(place)
        by_start[at] = 10 + local.hour + 3 * local.day
        rows.append(f"{local:%Y-%m-%d %H:%M},{by_start[at] / 100:.2f}")
        at += timedelta(hours=1)
    return "\n".join(rows), by_start


@pytest.mark.parametrize(
    ("zone", "first", "count"),
    [
        ("Asia/Kolkata", date(2025, 6, 1), 72),
        ("Asia/Kathmandu", date(2025, 6, 1), 72),
        ("Australia/Adelaide", date(2025, 10, 4), 71),
        ("Australia/Adelaide", date(2025, 4, 5), 73),
        ("Europe/Helsinki", date(2025, 3, 29), 71),
        ("Europe/Helsinki", date(2025, 10, 25), 73),
    ],
)
def test_hourly_prices_on_the_clock_of_a_place_cost_what_their_minutes_cost(
    zone: str, first: date, count: int
) -> None:
    # Minute by minute, by zoneinfo alone: the engine's hours are those of UTC.
    place, last = ZoneInfo(zone), first + timedelta(days=2)
    text, by_start = _published(first, last, place)
    read = read_prices(text, clock=place)
    assert len(read.prices) == count
    plan = TariffPlan(kind=TariffKind.HOURLY, hourly=read)
    tariff = plan.tariff(100)
    assert tariff is not None
    hours = hours_of_days(first, last, place)
    begins = min(by_start)
    expected = []
    for number in range(hours.count):
        minutes = [hours.start + timedelta(hours=number, minutes=minute) for minute in range(60)]
        told = [
            price
            for at in minutes
            if (price := by_start.get(begins + (at - begins) // HOUR * HOUR)) is not None
        ]
        expected.append(sum(told) / len(told))
    minor = hourly_minor(tariff, hours, np.ones(hours.count))
    assert float(minor.sum()) == pytest.approx(sum(expected), rel=1e-9)


def test_a_missing_hour_of_a_half_hour_zone_leaves_both_hours_it_lies_in_without_a_price() -> None:
    place = ZoneInfo("Asia/Kolkata")
    text, _ = _published(date(2025, 6, 1), date(2025, 6, 2), place)
    rows = [row for row in text.splitlines() if "2025-06-02 08:00" not in row]
    tariff = TariffPlan(
        kind=TariffKind.HOURLY, hourly=read_prices("\n".join(rows), clock=place)
    ).tariff(100)
    assert tariff is not None
    hours = hours_of_days(date(2025, 6, 1), date(2025, 6, 2), place)
    unknown = np.flatnonzero(np.isnan(hourly_minor(tariff, hours, np.ones(hours.count))))
    assert unknown.size == 2
    assert {int(day) for day in hours.local_day[unknown]} == {date(2025, 6, 2).toordinal()}


def test_a_clock_put_forward_by_half_an_hour_needs_a_file_in_utc() -> None:
    place = ZoneInfo("Australia/Lord_Howe")
    text = "hour,price EUR/kWh\n2025-10-04 12:00,0.10\n2025-10-05 12:00,0.20"
    with pytest.raises(InputError, match="told in UTC"):
        read_prices(text, clock=place)
    assert len(read_prices(text, clock=UTC).prices) == 25


@pytest.mark.parametrize("minute", [15, 30])
def test_parts_of_an_hour_are_no_hourly_prices(minute: int) -> None:
    text = f"hour,price EUR/kWh\n2025-06-01 12:00,0.10\n2025-06-01 12:{minute},0.20"
    with pytest.raises(InputError, match="not a full hour"):
        read_prices(text, clock=ZoneInfo("Asia/Kolkata"))


def _day_of_prices(stamp: Callable[[datetime], str], days: int) -> str:
    first = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock
    hours = [first + timedelta(hours=n) for n in range(24 * days)]
    return "\n".join(f"{stamp(at)};{at.hour}" for at in hours)


@pytest.mark.parametrize(
    ("names", "stamp"),
    [
        ("start;price EUR/kWh", lambda at: f"{at:%d.%m.%Y %H:%M}"),
        ("start;price EUR/kWh", lambda at: f"{at:%m/%d/%Y %H:%M}"),
        ("start;price EUR/kWh", lambda at: f"{at:%m/%d/%Y} {at:%I:%M %p}"),
        ("start;price EUR/kWh", lambda at: f"{at:%Y-%m-%dT%H:%M:%S}+00:00"),
        ("Date;Hour;price EUR/kWh", lambda at: f"{at:%Y-%m-%d};{at.hour}"),
        ("Date;Hour;price EUR/kWh", lambda at: f"{at:%Y-%m-%d};{at.hour + 1}"),
        ("Datum;Uhrzeit;Preis EUR/kWh", lambda at: f"{at:%d.%m.%Y};{at:%H:%M}"),
    ],
)
def test_the_hours_of_a_price_file_are_read_however_they_are_written(
    names: str, stamp: Callable[[datetime], str]
) -> None:
    read = read_prices(f"{names}\n{_day_of_prices(stamp, 3)}\n", clock=UTC)
    assert read.start == datetime(2026, 5, 1, tzinfo=UTC)
    assert read.bad_rows == 0
    assert read.prices == tuple(Decimal(n % 24) for n in range(72))


def test_a_day_that_may_be_a_month_is_asked_for() -> None:
    rows = _day_of_prices(lambda at: f"{at:%m/%d/%Y %H:%M}".replace("05/01", "05/06"), 1)
    with pytest.raises(InputError, match="day from month"):
        read_prices(f"start;price EUR/kWh\n{rows}\n", clock=UTC)


@pytest.mark.parametrize(
    "row",
    [
        "2025-10-29T02:00-99:06,5.0",
        "2025-10-29T02:00,99999999999999999999",
        "9999-12-31T24:00,5.0",
        "0001-01-01T00:00+05:00,5.0",
        "?,?",
    ],
)
def test_a_damaged_row_of_prices_is_counted_and_left_out(row: str) -> None:
    text = f"time,price ct/kWh\n2025-10-29T00:00,4.0\n2025-10-29T01:00,4.5\n{row}\n"
    read = read_prices(text, clock=HELSINKI)
    assert read.bad_rows == 1
    assert len(read.prices) == 2
