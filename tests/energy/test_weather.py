from __future__ import annotations

import math
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta, timezone
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.energy.builders import HELSINKI
from tubcare.energy.hours import HourRange, hours_of_days
from tubcare.energy.monthly_means import MonthlyMeans, typical_year
from tubcare.energy.row_spacing import Resolution
from tubcare.energy.sun import clear_sky_w_m2
from tubcare.energy.table_text import read_table
from tubcare.energy.weather import TypicalYear, Weather, filled, gaps
from tubcare.energy.weather_columns import DateOrder, Quantity, Question, Unit, find_columns
from tubcare.energy.weather_kind import WeatherKind
from tubcare.energy.weather_series import hourly_weather, typical_year_of
from tubcare.energy.weather_text import Answers, ask_about, read_weather
from tubcare.energy.weather_units import SunUnit, WindUnit
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from numpy.typing import NDArray


def test_a_semicolon_table_with_decimal_commas_is_read() -> None:
    text = "Datum;Date;Temp (°C);RH (%)\nx;2025-06-01 00:00;12,5;80\nx;2025-06-01 01:00;11,5;90\n"
    table = read_weather(text)
    assert table.readings[Quantity.AIR] == (12.5, 11.5)
    assert table.readings[Quantity.HUMIDITY] == (0.8, 0.9)
    assert table.resolution is Resolution.HOURLY


def test_an_unclear_unit_is_asked_and_a_hot_value_settles_it() -> None:
    text = "date,temp\n2025-06-01,{}\n2025-06-02,12\n"
    assert ask_about(text.format(11)) == (Question.TEMPERATURE_UNIT,)
    with pytest.raises(InputError, match="temperature_unit"):
        read_weather(text.format(11))
    assert ask_about(text.format(77)) == ()
    assert read_weather(text.format(77)).readings[Quantity.AIR][0] == pytest.approx(25.0)


def test_thirty_two_fahrenheit_is_exactly_zero() -> None:
    table = read_weather("date,tmin (F)\n2025-11-01,32.0\n2025-11-02,31.9\n")
    assert table.readings[Quantity.LOWEST][0] == 0.0
    assert table.readings[Quantity.LOWEST][1] < 0.0


@pytest.mark.parametrize(
    ("dates", "order"),
    [
        (("13/04/2025", "14/04/2025"), DateOrder.DAY_FIRST),
        (("04/13/2025", "04/14/2025"), DateOrder.MONTH_FIRST),
        (("04/05/2025", "05/05/2025"), None),
        (("20250405", "20250406"), DateOrder.YEAR_FIRST),
    ],
)
def test_the_order_of_a_date_is_found_or_asked(
    dates: tuple[str, str], order: DateOrder | None
) -> None:
    text = f"date,temp (C)\n{dates[0]},1\n{dates[1]},2\n"
    asked = ask_about(text)
    assert (Question.DATE_ORDER in asked) is (order is None)
    if order is None:
        table = read_weather(text, Answers(date_order=DateOrder.DAY_FIRST))
        assert table.starts[0] == datetime(2025, 5, 4)  # noqa: DTZ001  the file's own clock


def test_gaps_and_rows_read_twice_are_reported() -> None:
    rows = [f"2025-06-01 {hour:02}:00,10" for hour in (0, 1, 2, 2, 5, 6)]
    table = read_weather(
        "time stamp,temp (C)\n".replace("time stamp", "timestamp") + "\n".join(rows)
    )
    assert [gap.count for gap in table.gaps] == [2]
    assert table.repeated == 1


def test_hour_24_stays_on_its_date() -> None:
    rows = [f"2025-06-01,{hour:02}:00,{hour}" for hour in range(1, 25)]
    table = read_weather("date,time,temp (C)\n" + "\n".join(rows))
    assert table.starts[0].hour == 0
    assert table.starts[-1].day == 1
    assert table.daily_minima() == ((date(2025, 6, 1), 1.0),)


def test_impossible_readings_count_as_missing() -> None:
    text = "date,temp (C)\n2025-06-01,-9999\n2025-06-02,12\n"
    assert math.isnan(read_weather(text).readings[Quantity.AIR][0])


@pytest.mark.parametrize("text", ["", "\n\n", "date,temp (C)\n", "a,b\nx,y\n"])
def test_a_text_without_weather_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_weather(text)


cells = st.one_of(
    st.text(max_size=12),
    st.floats(),
    st.sampled_from(["2025-06-01", "9999-12-31 24:00", "0001-01-01", "31/31/31", "inf", "1e400"]),
)


@given(st.one_of(st.text(max_size=300), st.lists(st.tuples(cells, cells, cells), max_size=20)))
def test_any_text_is_read_or_refused_in_words(
    content: str | list[tuple[str | float, ...]],
) -> None:
    text = content
    if not isinstance(text, str):
        rows = [",".join(str(cell) for cell in row) for row in content]
        text = "date,hour,temp (C)\n" + "\n".join(rows)
    with suppress(InputError):
        table = read_weather(text, Answers(unit=Unit.CELSIUS, date_order=DateOrder.DAY_FIRST))
        assert len(table.starts) == len(table.readings[Quantity.AIR])


def test_daily_rows_become_hours_through_both_extremes() -> None:
    text = "date,tmin (C),tmax (C)\n2025-06-01,4,14\n2025-06-02,6,10\n"
    hours, weather = hourly_weather(
        read_weather(text), clock=timezone(timedelta(hours=3)), zone=HELSINKI
    )
    assert hours.count == 48
    first = weather.air_c[:24]
    assert float(first.mean()) == pytest.approx(9.0)
    assert float(first.min()) == pytest.approx(4.0, abs=0.1)
    assert int(np.argmin(first)) in {2, 3}


def test_hours_in_summer_time_are_told_apart() -> None:
    rows = []
    for number in range(25):
        local = datetime(2025, 10, 25, 21, tzinfo=UTC) + timedelta(hours=number)
        rows.append(f"{local.astimezone(HELSINKI):%Y-%m-%d %H:%M},{number}")
    hours, weather = hourly_weather(
        read_weather("date,temp (C)\n" + "\n".join(rows)), clock=HELSINKI, zone=HELSINKI
    )
    assert hours.count == 25
    assert weather.missing == 0
    assert weather.air_c.tolist() == list(range(25))


def test_short_gaps_are_bridged_and_long_ones_refused() -> None:
    air = np.array([1.0, np.nan, 3.0, 4.0])
    weather = Weather(air_c=air, sun_w_m2=np.zeros(4))
    assert gaps(weather)[0].hours == 1
    assert filled(weather).air_c.tolist() == [1.0, 2.0, 3.0, 4.0]
    with pytest.raises(InputError, match="too long"):
        filled(weather, longest_h=0)


MEANS = (-3.9, -5.7, -1.0, 3.7, 9.9, 14.0, 16.7, 15.8, 10.2, 5.9, -1.3, -3.0)


def _means_by_month(hours: HourRange, values: NDArray[np.float64]) -> list[float]:
    return [float(values[hours.month_index % 12 == month].mean()) for month in range(12)]


def test_monthly_means_come_out_as_typed() -> None:
    year = typical_year(MonthlyMeans(air_c=MEANS, latitude_deg=60.3))
    hours = hours_of_days(date(2025, 1, 1), date(2025, 12, 31), ZoneInfo("UTC"))
    air_c = year.for_hours(hours).air_c
    assert _means_by_month(hours, air_c) == pytest.approx(MEANS, abs=0.02)
    assert year.weather.kind is WeatherKind.MONTHLY_MEANS


def test_typed_sums_of_sun_come_out_as_typed() -> None:
    sums = (0.3, 1.0, 2.4, 4.0, 5.4, 5.9, 5.5, 4.2, 2.5, 1.1, 0.4, 0.2)
    means = MonthlyMeans(air_c=MEANS, latitude_deg=60.3, sun_kwh_m2_day=sums)
    hours = hours_of_days(date(2025, 1, 1), date(2025, 12, 31), ZoneInfo("UTC"))
    sun_w_m2 = typical_year(means).for_hours(hours).sun_w_m2
    daily_kwh_m2 = [mean * 0.024 for mean in _means_by_month(hours, sun_w_m2)]
    assert daily_kwh_m2 == pytest.approx(sums, rel=0.01)


@pytest.mark.parametrize(
    ("month", "kwh"),
    [(3, 3.2), (4, 5.3), (5, 7.2), (6, 8.0), (7, 7.5), (8, 5.8), (9, 3.6), (10, 1.8)],
)
def test_a_clear_day_agrees_with_another_clear_sky_model(month: int, kwh: float) -> None:
    # pvlib 0.16.1, model of Ineichen & Perez (Solar Energy 73, 2002), 60 N, middle of the month.
    day = date(2025, month, 15).timetuple().tm_yday
    total = sum(
        clear_sky_w_m2(latitude_deg=60.0, day_of_year=day, solar_hour=tenth / 10.0)
        for tenth in range(240)
    )
    assert total / 10000.0 == pytest.approx(kwh, rel=0.12, abs=0.1)


def test_a_leap_day_takes_the_weather_of_the_day_before() -> None:
    air = np.repeat(np.arange(365, dtype=np.float64) / 10.0, 24)
    year = TypicalYear(weather=Weather(air_c=air, sun_w_m2=np.zeros(8760)))
    hours = hours_of_days(date(2024, 2, 28), date(2024, 3, 1), ZoneInfo("UTC"))
    days = year.for_hours(hours).air_c[::24]
    assert days.tolist() == pytest.approx([5.8, 5.8, 5.9])


def test_a_typical_year_with_hours_missing_is_refused() -> None:
    rows = [f"2025-06-01 {hour:02}:00,10" for hour in range(24)]
    table = read_weather("date,temp (C)\n" + "\n".join(rows))
    with pytest.raises(InputError, match="8736 hours"):
        typical_year_of(table, standard_offset_s=0)


def test_typed_means_are_checked() -> None:
    with pytest.raises(InputError, match="twelve"):
        MonthlyMeans(air_c=(1.0,) * 11)
    with pytest.raises(OutOfRangeError, match="air_c"):
        MonthlyMeans(air_c=(99.0,) * 12)
    with pytest.raises(InputError, match="latitude"):
        MonthlyMeans(air_c=MEANS, sun_kwh_m2_day=(1.0,) * 12)


def test_hourly_rows_without_an_air_temperature_are_refused() -> None:
    rows = [f"2025-06-01 {hour:02}:00,4,9" for hour in range(24)]
    table = read_weather("date,tmin (C),tmax (C)\n" + "\n".join(rows))
    with pytest.raises(InputError, match="air temperature"):
        hourly_weather(table, clock=UTC, zone=HELSINKI)


def test_a_column_without_one_reading_is_unknown_and_no_calm_or_drought() -> None:
    weather = Weather(
        air_c=np.array([1.0, 2.0, 3.0]),
        sun_w_m2=np.zeros(3),
        wind_m_s=np.full(3, np.nan),
        humidity=np.array([0.5, np.nan, 0.7]),
    )
    whole = filled(weather)
    assert whole.wind_m_s is None
    assert whole.humidity is not None
    assert whole.humidity.tolist() == pytest.approx([0.5, 0.6, 0.7])


@pytest.mark.parametrize(
    ("name", "figure", "m_s"),
    [
        ("wind speed (m/s)", 5.0, 5.0),
        ("Wind (km/h)", 36.0, 10.0),
        ("wind [mph]", 10.0, 4.4704),
        ("Wind Speed (kn)", 10.0, 5.14444),
        ("wind", 5.0, 5.0),
    ],
)
def test_wind_is_read_in_the_unit_of_its_name(name: str, figure: float, m_s: float) -> None:
    # Mile 1609.344 m and nautical mile 1852 m, by definition.
    text = f"date,temp (C),{name}\n2025-06-01,11,{figure}\n2025-06-02,12,{figure}\n"
    assert read_weather(text).readings[Quantity.WIND][0] == pytest.approx(m_s, rel=1e-5)


@pytest.mark.parametrize(
    ("name", "figure", "w_m2"),
    [
        ("GHI (W/m²)", 240.0, 240.0),
        ("global radiation (kWh/m2)", 6.0, 250.0),
        ("solar radiation [MJ/m^2]", 21.6, 250.0),
        ("shortwave (J/cm²)", 2160.0, 250.0),
        ("solar radiation (Wh/m2)", 6000.0, 250.0),
    ],
)
def test_a_days_sun_is_read_in_the_unit_of_its_name(name: str, figure: float, w_m2: float) -> None:
    text = f"date,temp (C),{name}\n2025-06-01,11,{figure}\n2025-06-02,12,{figure}\n"
    assert read_weather(text).readings[Quantity.SUN][0] == pytest.approx(w_m2)


def test_an_hours_sun_is_a_sum_over_that_hour() -> None:
    rows = [f"2025-06-01 {hour:02}:00,11,1800" for hour in range(6)]
    table = read_weather("date,temp (C),solar radiation (kJ/m2)\n" + "\n".join(rows))
    assert table.readings[Quantity.SUN][0] == pytest.approx(500.0)


@pytest.mark.parametrize(
    ("name", "figure", "answers"),
    [
        ("wind (bft)", 3.0, Answers(wind_unit=WindUnit.KM_H)),
        ("wind", 25.0, Answers(wind_unit=WindUnit.KM_H)),
        ("solar radiation", 20.0, Answers(sun_unit=SunUnit.MJ_M2)),
        ("ghi", 2600.0, Answers(sun_unit=SunUnit.KJ_M2)),
    ],
)
def test_wind_or_sun_of_unclear_unit_is_left_out_until_it_is_told(
    name: str, figure: float, answers: Answers
) -> None:
    text = f"date,temp (C),{name}\n2025-06-01,11,{figure}\n2025-06-02,12,{figure}\n"
    plain, told = read_weather(text), read_weather(text, answers)
    assert plain.columns.unclear == (name,)
    assert list(plain.readings) == [Quantity.AIR]
    assert len(told.readings) == 2
    assert told.columns.unclear == ()


def test_a_column_of_known_unit_may_be_left_out_all_the_same() -> None:
    text = "date,temp (C),wind (m/s)\n2025-06-01,11,3\n2025-06-02,12,3\n"
    table = read_weather(text, Answers(wind_unit=WindUnit.LEAVE_OUT))
    assert table.columns.left_out == ("wind (m/s)",)


def test_humidity_is_read_as_share_or_per_cent() -> None:
    text = "date,temp (C),rh\n2025-06-01,11,{}\n2025-06-02,12,{}\n"
    for first, second in (("80", "100.4"), ("0.8", "1.0")):
        table = read_weather(text.format(first, second))
        assert table.readings[Quantity.HUMIDITY] == pytest.approx((0.8, 1.0))


def test_cells_without_a_temperature_are_reported_as_gaps_like_missing_rows() -> None:
    cells = ["10", "", "-9999", "11", "12", "x", "13"]
    rows = [f"2025-06-01 {hour:02}:00,{cell}" for hour, cell in enumerate(cells)]
    table = read_weather("date,temp (C)\n" + "\n".join(rows))
    assert [(gap.first.hour, gap.count) for gap in table.gaps] == [(1, 2), (5, 1)]
    daily = "date,tmin (C),tmax (C)\n2025-06-01,4,9\n2025-06-02,5,\n2025-06-03,4,8\n"
    assert [gap.count for gap in read_weather(daily).gaps] == [1]


@pytest.mark.parametrize(
    "stamps",
    [
        ("2025-06-01T21:00Z", "2025-06-01T22:00Z", "2025-06-01T23:00:00Z"),
        ("2025-06-02T00:00:00+03:00", "2025-06-02T01:00:00+0300", "2025-06-02T02:00+03:00"),
        ("2025-06-01 16:00 -05:00", "2025-06-01 17:00 -05:00", "2025-06-01 18:00 -05:00"),
        ("2025-06-01 21:00:00 UTC", "2025-06-01 22:00:00 UTC", "2025-06-01 23:00:00 UTC"),
    ],
)
def test_stamps_that_tell_their_offset_go_before_the_chosen_clock(stamps: tuple[str, ...]) -> None:
    text = "time,temp (C)\n" + "".join(f"{at},{n}\n" for n, at in enumerate(stamps))
    hours, weather = hourly_weather(read_weather(text), clock=HELSINKI, zone=HELSINKI)
    assert hours.start == datetime(2025, 6, 1, 21, tzinfo=UTC)
    assert weather.air_c.tolist() == [0.0, 1.0, 2.0]


def test_a_column_that_names_its_clock_goes_before_the_chosen_one() -> None:
    rows = [f"2025,6,1,{hour}:00,{hour}" for hour in (21, 22, 23)]
    text = "Year,Month,Day,Time [UTC],Air temperature [°C]\n" + "\n".join(rows)
    hours, _weather = hourly_weather(read_weather(text), clock=HELSINKI, zone=HELSINKI)
    assert hours.start == datetime(2025, 6, 1, 21, tzinfo=UTC)


def test_the_hours_of_autumn_are_told_apart_by_their_offsets() -> None:
    stamps = ("02:00:00+03:00", "03:00:00+03:00", "03:00:00+02:00", "04:00:00+02:00")
    text = "time,temp (C)\n" + "".join(f"2025-10-26T{at},{n}\n" for n, at in enumerate(stamps))
    _hours, weather = hourly_weather(read_weather(text), clock=UTC, zone=HELSINKI)
    assert weather.air_c.tolist() == [0.0, 1.0, 2.0, 3.0]


def test_the_end_of_a_span_is_no_offset() -> None:
    rows = [f"2025-06-01 {n:02}:00-{n + 1:02}:00,{n}" for n in range(5)]
    table = read_weather("time,temp (C)\n" + "\n".join(rows))
    assert table.clock is None
    assert table.starts[1] == datetime(2025, 6, 1, 1)  # noqa: DTZ001  the file's own clock


def test_a_twelve_hour_clock_is_read() -> None:
    times = ("11:00 PM", "12:00 AM", "1:00 a.m.", "12:00 pm", "1:00 PM")
    days = (13, 14, 14, 14, 14)
    rows = [f"06/{day}/2025,{at},{day}" for day, at in zip(days, times, strict=True)]
    table = read_weather("date,time,temp (C)\n" + "\n".join(rows))
    assert [start.hour for start in table.starts] == [23, 0, 1, 12, 13]
    with pytest.raises(InputError):
        read_weather("date,time,temp (C)\n06/13/2025,13:00 PM,1\n")


def test_rows_in_any_order_are_read_in_order_of_time() -> None:
    rows = [f"2025-06-{n // 24 + 1:02} {n % 24:02}:00,{n}" for n in range(72)]
    forward = read_weather("timestamp,temp (C)\n" + "\n".join(rows))
    backward = read_weather("timestamp,temp (C)\n" + "\n".join(reversed(rows)))
    assert backward.starts == forward.starts
    assert backward.readings == forward.readings
    assert not backward.gaps


def test_a_measured_year_that_spans_new_year_is_no_typical_year() -> None:
    first = datetime(2024, 7, 1)  # noqa: DTZ001  the file's own clock
    rows = [f"{first + timedelta(hours=n):%Y-%m-%d %H:%M},{n % 24}" for n in range(8760)]
    assert not read_weather("timestamp,temp (C)\n" + "\n".join(rows)).looks_typical()


@pytest.mark.parametrize(
    ("names", "found"),
    [
        ("Datum;Uhrzeit;Lufttemperatur [°C]", {Quantity.STAMP, Quantity.TIME, Quantity.AIR}),
        ("time;temperature_2m (°C);shortwave_radiation (W/m²)", {Quantity.SUN, Quantity.AIR}),
        (
            "Vuosi;Kuukausi;Päivä;Alin lämpötila [°C]",
            {Quantity.YEAR, Quantity.MONTH, Quantity.LOWEST},
        ),
        ("MESS_DATUM;TXK;TNK", {Quantity.STAMP, Quantity.HIGHEST, Quantity.LOWEST}),
    ],
)
def test_columns_are_known_by_usual_names_in_three_languages(
    names: str, found: set[Quantity]
) -> None:
    row = ";".join("2025-06-01" for _ in names.split(";"))
    assert found <= find_columns(read_table(f"{names}\n{row}\n", names_line=1)).by_quantity.keys()


@pytest.mark.parametrize("offset", ["-99:06", "-24:00", "+48:00"])
def test_a_day_or_more_is_no_offset_from_utc(offset: str) -> None:
    rows = "\n".join(f"2025-06-01T0{hour}:00{offset},{hour}.0" for hour in range(4))
    table = read_weather(f"time,temperature (C)\n{rows}\n")
    assert table.clock is None
    assert len(table.readings[Quantity.AIR]) == 4
