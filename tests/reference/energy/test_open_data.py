"""Reads open weather data through the import and checks frost days, dates and means.

Expected values were counted with pandas on the same files; frost days as ETCCDI FD, TN < 0 °C.
"""

from __future__ import annotations

import math
from datetime import date
from statistics import fmean
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from tests.reference.energy.cases import Case, cases
from tests.reference.energy.open_data import data_text, sha256
from tubcare.energy.frost_dates import (
    DailyMinima,
    FrostRule,
    SeasonDate,
    day_of_season,
    first_frosts,
    frost_days_by_year,
    last_frosts,
)
from tubcare.energy.frost_quantile import weibull_quantile
from tubcare.energy.frost_risk import risk_date
from tubcare.energy.last_frost import late_risk_date
from tubcare.energy.weather_columns import Quantity, Question, Unit
from tubcare.energy.weather_kind import WeatherKind
from tubcare.energy.weather_series import typical_year_of
from tubcare.energy.weather_text import Answers, ask_about, read_weather
from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.energy.weather_table import WeatherTable

EPW = Answers(
    names_line=0,
    first_row=8,
    unit=Unit.CELSIUS,
    columns={
        Quantity.YEAR: "c0",
        Quantity.MONTH: "c1",
        Quantity.DAY: "c2",
        Quantity.HOUR: "c3",
        Quantity.AIR: "c6",
        Quantity.SUN: "c13",
    },
)


def _case(name: str) -> Case:
    return next(case for case in cases("data") if case.name == name)


def _minima(table: WeatherTable) -> DailyMinima:
    return DailyMinima(by_day=table.daily_minima())


def _frost_by_date(table: WeatherTable) -> list[date]:
    return [day for day, minimum_c in table.daily_minima() if minimum_c < 0.0]


def _check_typical(case: Case, table: WeatherTable) -> None:
    """Compare a typical year with its expected figures."""
    expected: dict[str, Any] = case.expected
    air = np.array(table.readings[Quantity.AIR])
    sun = np.array(table.readings[Quantity.SUN])
    summer = np.array([4 <= start.month <= 10 for start in table.starts])
    frosts = sorted((day.month, day.day) for day in _frost_by_date(table))
    first = min(day for day in frosts if day[0] >= 7)
    last = max(day for day in frosts if day[0] < 7)
    assert len(air) == expected["n"]
    assert float(air.mean()) == pytest.approx(expected["mean"], abs=case.abs)
    assert len(frosts) == expected["frost_days"]
    assert f"{last[0]:02}-{last[1]:02}" == expected["last_spring"]
    assert f"{first[0]:02}-{first[1]:02}" == expected["first_autumn"]
    assert float(air[summer].mean()) == pytest.approx(expected["mean_apr_oct"], abs=case.abs)
    assert float(sun[summer].sum()) / 1000.0 == pytest.approx(
        expected["ghi_apr_oct_kWh_m2"], abs=0.01
    )


def test_a_typical_year_with_hour_24_keeps_its_dates() -> None:
    case = _case("data.pvlib_723170TYA")
    path = case.inputs["path"]
    assert sha256("pvlib", path) == case.inputs["sha256"]
    table = read_weather(data_text("pvlib", path))
    assert table.looks_typical()
    assert table.gaps == ()
    _check_typical(case, table)


def test_another_typical_year_by_the_sea() -> None:
    # TMY3 Sand Point, Alaska: mean, frost days, last and first frost, April to October mean.
    table = read_weather(data_text("pvlib", "pvlib/data/703165TY.csv"))
    air = np.array(table.readings[Quantity.AIR])
    summer = np.array([4 <= start.month <= 10 for start in table.starts])
    assert float(air.mean()) == pytest.approx(4.421, abs=0.001)
    assert float(air[summer].mean()) == pytest.approx(7.07, abs=0.005)
    assert len(_frost_by_date(table)) == 102


def test_a_typical_year_without_names_is_read_by_column_number() -> None:
    case = _case("data.sinergym_SWE_Stockholm")
    path = case.inputs["path"]
    assert sha256("sinergym", path) == case.inputs["sha256"]
    text = data_text("sinergym", path)
    assert Question.TEMPERATURE_COLUMN in ask_about(text)
    _check_typical(case, read_weather(text, EPW))


def test_monthly_means_of_helsinki() -> None:
    path = "sinergym/data/weather/FIN_Helsinki.029740_IWEC.epw"
    table = read_weather(data_text("sinergym", path), EPW)
    air = np.array(table.readings[Quantity.AIR])
    month = np.array([start.month for start in table.starts])
    means = [round(float(air[month == number].mean()), 1) for number in range(1, 13)]
    assert means == [-3.9, -5.7, -1.0, 3.7, 9.9, 14.0, 16.7, 15.8, 10.2, 5.9, -1.3, -3.0]
    assert len(_frost_by_date(table)) == 161
    year = typical_year_of(table, standard_offset_s=7200)
    assert float(year.weather.air_c.mean()) == pytest.approx(5.181, abs=0.001)


@pytest.mark.parametrize(
    ("region", "mean_c", "frost_days", "summer_c"),
    [("02", 9.540, 44, 13.87), ("04", 9.543, 87, 14.50), ("08", 6.743, 117, 11.07)],
)
def test_german_reference_years(
    region: str, mean_c: float, frost_days: int, summer_c: float
) -> None:
    text = data_text("demandlib", f"demandlib/vdi/resources_weather/TRY2010_{region}_Jahr.dat")
    assert ask_about(text) == (Question.TEMPERATURE_UNIT,)
    table = read_weather(text, Answers(unit=Unit.CELSIUS))
    air = np.array(table.readings[Quantity.AIR])
    summer = np.array([4 <= start.month <= 10 for start in table.starts])
    assert float(air.mean()) == pytest.approx(mean_c, abs=0.001)
    assert len(_frost_by_date(table)) == frost_days
    assert float(air[summer].mean()) == pytest.approx(summer_c, abs=0.005)
    assert [row.reason for row in table.bad_rows] == ["“***” has no time that can be read"]


def _autumn_and_spring(minima: DailyMinima, rule: FrostRule, year: int) -> tuple[str, str]:
    frosts = [day for day, low_c in minima.by_day if day.year == year and rule.is_frost(low_c)]
    spring = max(day for day in frosts if day.month < 7)
    autumn = min(day for day in frosts if day.month >= 7)
    return f"{spring:%m-%d}", f"{autumn:%m-%d}"


@pytest.mark.parametrize(
    ("name", "strict"), [("data.vega_seattle_lt0", True), ("data.vega_seattle_le0", False)]
)
def test_strict_or_not_changes_frost_days_and_dates(name: str, *, strict: bool) -> None:
    case = _case(name)
    text = data_text("vega_datasets", "vega_datasets/_data/seattle-weather.csv")
    assert ask_about(text) == (Question.TEMPERATURE_UNIT,)
    table = read_weather(text, Answers(unit=Unit.CELSIUS))
    minima, rule = _minima(table), FrostRule(strict=strict)
    counts = frost_days_by_year(minima, rule)
    for year, (days, spring, autumn) in case.expected["per_year"].items():
        assert counts[int(year)] == days
        assert _autumn_and_spring(minima, rule, int(year)) == (spring, autumn)
    middles = [
        (low + high) / 2.0
        for low, high in zip(
            table.readings[Quantity.LOWEST], table.readings[Quantity.HIGHEST], strict=True
        )
    ]
    assert fmean(middles) == pytest.approx(case.expected["mean"], abs=case.abs)


def _check_quantiles(found: tuple[SeasonDate, ...], expected: dict[str, Any], tol: float) -> None:
    days = [season.day for season in found if season.day is not None]
    assert len(days) == expected["n"]
    assert fmean(days) == pytest.approx(expected["mean"], abs=tol)
    for share, day in expected["q"].items():
        assert weibull_quantile(days, float(share)) == pytest.approx(day, abs=tol)


def test_thirty_years_of_brussels() -> None:
    case = _case("data.aquacrop_brussels")
    path = case.inputs["path"]
    assert sha256("aquacrop", path) == case.inputs["sha256"]
    minima = _minima(read_weather(data_text("aquacrop", path)))
    assert fmean(frost_days_by_year(minima, FrostRule()).values()) == pytest.approx(
        case.expected["frost_days_mean"], abs=case.abs
    )
    first = first_frosts(minima, FrostRule())
    _check_quantiles(first, case.expected["first_autumn"], case.abs)
    assert risk_date(first, 0.1).day == pytest.approx(301.2, abs=0.001)
    last = [
        SeasonDate(season=season.season, day=None if season.day is None else season.day - 365)
        for season in last_frosts(minima, FrostRule())
    ]
    _check_quantiles(tuple(last), case.expected["last_spring"], case.abs)


def test_the_last_frost_of_brussels_is_passed_in_one_spring_of_ten() -> None:
    case = _case("data.aquacrop_brussels")
    minima = _minima(read_weather(data_text("aquacrop", case.inputs["path"])))
    late = late_risk_date(last_frosts(minima, FrostRule()), 0.1)
    assert late.day is not None
    # Days after New Year count on past 365 within a season.
    assert late.day - 365 == pytest.approx(118.8, abs=0.11)
    assert late.earliest is not None
    assert late.latest is not None
    assert late.earliest < late.day < late.latest


def test_thirty_seven_years_of_nebraska_and_dates_held_out() -> None:
    path = "aquacrop/data/champion_climate.txt"
    minima = _minima(read_weather(data_text("aquacrop", path)))
    counts = frost_days_by_year(minima, FrostRule())
    first = first_frosts(minima, FrostRule())
    assert fmean(counts.values()) == pytest.approx(174.5, abs=0.05)
    assert (min(counts.values()), max(counts.values())) == (157, 191)
    days = [risk_date(first, risk).day for risk in (0.05, 0.1, 0.2, 0.5)]
    assert days == [pytest.approx(day, abs=0.05) for day in (254.5, 257.6, 262.0, 272.0)]
    # Dates from the first 20 years at 10 % risk were broken in 2 of the 17 that followed.
    early = risk_date(first[:20], 0.1).safe_day
    assert early is not None
    assert sum(season.day < early for season in first[20:] if season.day is not None) == 2


def test_a_file_in_fahrenheit_is_known_by_its_values() -> None:
    path = "bokeh_sampledata/_data/lincoln_weather.csv"
    table = read_weather(data_text("bokeh_sampledata", path))
    minima = table.daily_minima()
    middles = [
        (low + high) / 2.0
        for low, high in zip(
            table.readings[Quantity.LOWEST], table.readings[Quantity.HIGHEST], strict=True
        )
    ]
    frosts = [day for day, low_c in minima if low_c < 0.0]
    assert fmean(value for value in middles if not math.isnan(value)) == pytest.approx(
        12.299, abs=0.005
    )
    assert len(frosts) == 115
    assert max(day for day in frosts if day.month < 7) == date(2016, 4, 12)
    assert min(day for day in frosts if day.month >= 7) == date(2016, 10, 12)


def test_an_hourly_series_of_one_year() -> None:
    text = data_text("opendsm", "opendsm/eemeter/samples/uk-tempC-sample-0.csv.gz")
    table = read_weather(text)
    in_2021 = [
        (start, value)
        for start, value in zip(table.starts, table.readings[Quantity.AIR], strict=True)
        if start.year == 2021
    ]
    assert fmean(value for _, value in in_2021) == pytest.approx(9.645, abs=0.001)
    frosts = {day for day, low_c in table.daily_minima() if day.year == 2021 and low_c < 0.0}
    assert len(frosts) == 48


def test_a_typical_year_is_refused_for_frost_dates() -> None:
    table = read_weather(data_text("pvlib", "pvlib/data/703165TY.csv"))
    minima = DailyMinima(by_day=table.daily_minima(), kind=WeatherKind.TYPICAL_YEAR)
    with pytest.raises(InputError, match="no spread between years"):
        first_frosts(minima, FrostRule())


def test_the_first_frost_of_a_mild_season_may_come_after_new_year() -> None:
    assert day_of_season(date(2025, 1, 15)) == (2024, 380)
    assert day_of_season(date(2024, 2, 29)) == day_of_season(date(2024, 2, 28))
