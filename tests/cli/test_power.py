"""`tubcare power` through the program's one door."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import pytest

from tests.support.weather_files import hourly_csv, prices_csv
from tubcare.cli.energy_arguments import SUN_UNITS, WIND_UNITS
from tubcare.energy.weather_units import SunUnit, WindUnit

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.terminal import Terminal

MEANS = ("-4", "-4", "0", "5", "11", "15", "18", "16", "11", "6", "1", "-2")
START = datetime(2026, 11, 1)  # noqa: DTZ001  the file's own clock


@pytest.fixture
def terminal(terminal: Terminal) -> Terminal:
    assert terminal.run("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    assert terminal.run("tub", "open", "--on", "2026-11-01") == 0
    assert terminal.run("power", "build", "--cooling-w", "600", "--pump-w", "40") == 0
    return terminal


@pytest.fixture
def modelled(terminal: Terminal) -> Terminal:
    assert terminal.run("power", "tariff", "--price", "0.30") == 0
    assert terminal.run("power", "means", *MEANS) == 0
    return terminal


def test_without_weather_it_says_what_to_do(terminal: Terminal) -> None:
    assert terminal.run("power") == 0
    assert "tubcare power weather FILE" in terminal.out
    assert "tubcare power tariff" in terminal.out


def test_monthly_means_in_fahrenheit_are_the_same_weather(modelled: Terminal) -> None:
    celsius = modelled.read("power")
    means = [f"{float(mean) * 1.8 + 32:g}" for mean in MEANS]
    assert modelled.run("power", "means", *means, "--unit", "fahrenheit") == 0
    assert modelled.read("power") == celsius


def test_month_and_season_have_a_range_and_stable_fields(modelled: Terminal) -> None:
    found = modelled.read("power")
    assert set(found) == {
        "tub",
        "has_weather",
        "has_price",
        "calibrated",
        "goes_by",
        "typical_share",
        "missing_price_hours",
        "month",
        "season",
        "months",
    }
    kwh = found["season"]["modelled_kwh"]
    assert kwh["low"] < kwh["value"] < kwh["high"]
    assert found["season"]["filled_minor"]["value"] == pytest.approx(
        30 * found["season"]["filled_kwh"]["value"]
    )


def test_the_ledger_marks_what_is_estimated(modelled: Terminal) -> None:
    spent = modelled.read("spend")
    assert [entry["estimate"] for entry in spent["entries"]] == [True]
    assert modelled.run("spend") == 0
    assert "power (estimate)" in modelled.out


def test_a_reading_on_a_meter_that_ran_over_goes_on(terminal: Terminal) -> None:
    assert terminal.run("meter", "kwh", "99990", "--on", "2026-11-05") == 0
    assert terminal.run("meter", "kwh", "6", "--on", "2026-11-15") == 3
    assert "ran past its last digit" in terminal.err
    rolled = ("--on", "2026-11-15", "--rolled-over", "100000")
    assert terminal.run("meter", "kwh", "6", *rolled) == 0
    assert terminal.read("power")["season"]["metered_kwh"] == pytest.approx(16.0)


def test_weather_is_looked_at_then_taken_over(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "garden.csv"
    path.write_text(hourly_csv(START, 24 * 20), encoding="utf-8")
    preview = terminal.read("power", "weather", str(path), "--preview")
    assert (preview["rows"], preview["missing"], preview["typical"]) == (480, 0, False)
    assert not terminal.read("power")["has_weather"]
    assert terminal.run("power", "weather", str(path)) == 0
    assert terminal.read("power")["season"]["modelled_days"] == 20


def test_hourly_prices_come_from_a_file(modelled: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "prices.csv"
    path.write_text(prices_csv(START, 24 * 30), encoding="utf-8")
    assert modelled.run("power", "tariff", "--hourly", str(path)) == 0
    season = modelled.read("power")["season"]
    assert 10 < season["filled_minor"]["value"] / season["filled_kwh"]["value"] < 30


def test_a_band_and_the_standing_charge_are_kept(modelled: Terminal) -> None:
    words = ("--band", "22:00-06:00 0.10", "--standing", "0.40", "--view", "own_meter")
    assert modelled.run("power", "tariff", *words) == 0
    season = modelled.read("power")["season"]
    assert season["standing_minor"] == pytest.approx(40 * season["running_days"])
    assert season["filled_minor"]["value"] < 30 * season["filled_kwh"]["value"]


def test_ideas_are_compared_with_their_pay_back(modelled: Terminal) -> None:
    found = modelled.read("power", "what-if", "--lid", "foam_lid_80:60", "--pump-hours", "8")
    base, pump, lid = found["ideas"]
    assert base["kind"] is None
    assert pump["saving_minor"] > 0
    assert lid["pay_back_seasons"] == pytest.approx(6000 / lid["saving_minor"], rel=0.01)
    assert modelled.run("power", "what-if") == 0
    assert "As it is" in modelled.out


def test_ideas_are_told_with_ranges_of_cost_saving_and_pay_back(modelled: Terminal) -> None:
    words = ("power", "what-if", "--pump-hours", "8:60")
    _base, pump = modelled.read(*words)["ideas"]
    saved = pump["saving_range_minor"]
    assert pump["cost_range_minor"]["low"] < pump["cost_minor"] < pump["cost_range_minor"]["high"]
    assert pump["pay_back_soonest"] == pytest.approx(6000 / saved["high"])
    assert pump["pay_back_latest"] == pytest.approx(6000 / saved["low"])
    assert modelled.run(*words) == 0
    assert any(line.count(" to ") == 3 for line in modelled.out.splitlines())


def test_tariffs_by_time_and_by_the_hour_are_compared(modelled: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "prices.csv"
    file.write_text(prices_csv(START, 24 * 30), encoding="utf-8")
    words = ("--by-time", "0.40; 22:00-06:00 0.10", "--hourly", str(file), "--price", "0.20")
    ideas = modelled.read("power", "what-if", *words)["ideas"]
    assert [each["tariff"] for each in ideas] == [None, None, "time_of_use", "hourly"]
    assert ideas[1]["saving_minor"] == pytest.approx(ideas[0]["cost_minor"] / 3, abs=1)
    assert modelled.run("power", "what-if", *words) == 0
    assert "By time of day: 22:00-06:00 0.1, else 0.4" in modelled.out
    assert "have no price yet; the usual ones of their month and hour stand in" in modelled.out


def test_more_insulation_that_costs_more_is_told(modelled: Terminal) -> None:
    # All of this season is colder than the water: the pump's heat leaves through the wall alone.
    assert modelled.run("power", "build", "--pump-w", "200", "--set-point-c", "12") == 0
    assert modelled.run("power", "means", *["8"] * 12, "--swing-k", "1") == 0
    assert modelled.run("power", "what-if", "--wall", "xps_80_wood_20") == 0
    assert "costs more: in cold weather the pump's heat cannot leave" in modelled.out


def test_the_build_is_shown_and_changed(terminal: Terminal) -> None:
    before = terminal.read("power", "build")
    changed = terminal.read("power", "build", "--wall-layers", "xps 80; softwood 20")
    assert changed["leak_w_k"] < before["leak_w_k"]
    assert "wall_layers" in changed["told"]
    assert terminal.run("power", "build", "--wall", "straw") == 4


def test_the_unit_is_told_with_its_cautions_and_that_it_never_gets_there(
    terminal: Terminal,
) -> None:
    unit = ("--evaporator", "flow_through", "--least-air-c", "5", "--cooling-w", "100")
    assert terminal.run("power", "build", *unit) == 0
    assert "down to 5\N{NO-BREAK SPACE}°C ambient" in terminal.out
    assert "Caution: Flow-through: without flow it has to be off at once" in terminal.out
    assert "Caution: Do not run the unit below the lowest ambient" in terminal.out
    assert "never reaches the set point" in terminal.out


def test_a_chiller_that_rests_leaves_the_pump_alone(modelled: Terminal) -> None:
    before = modelled.read("power")["season"]["modelled_kwh"]["value"]
    assert modelled.run("tub", "rest", "--on", "2026-11-02") == 0
    resting = modelled.read("power")
    days = resting["season"]["running_days"]
    assert resting["season"]["chiller_h"]["value"] <= 24.0
    assert resting["season"]["chiller_starts"]["value"] <= 100
    assert 0.96 * (days - 1) <= resting["season"]["modelled_kwh"]["value"] <= before


def test_a_tub_that_draws_nothing_says_why(terminal: Terminal) -> None:
    assert terminal.run("power", "build", "--cooling-w", "0", "--pump-w", "0") == 0
    assert terminal.run("power", "means", *MEANS) == 0
    assert "neither chiller nor pump" in terminal.out
    assert "tubcare power build --cooling-w" in terminal.out


def test_the_standing_charge_stands_beside_the_cost(modelled: Terminal) -> None:
    assert modelled.run("power", "tariff", "--standing", "0.50", "--view", "own_meter") == 0
    assert modelled.run("power") == 0
    assert "standing charge" in modelled.out


def test_learning_is_refused_with_what_would_help(terminal: Terminal) -> None:
    found = terminal.read("power", "learn")
    assert found["refused"]
    assert "more_days" in found["would_help"]
    assert terminal.run("power", "learn", "--keep") == 3


def test_a_drift_test_is_one_command(terminal: Terminal) -> None:
    readings = ("0=5.0", "4=6.1", "8=7.1", "12=8.0")
    found = terminal.read("power", "drift", *readings, "--air-c", "20")
    assert 5.0 < found["leak_w_k"] < 20.0
    assert terminal.run("power", "drift", "0=5", "1=5.1", "--air-c", "20") == 4
    assert terminal.run("power", "learn") == 0
    assert "Drift test: leak" in terminal.out
    assert terminal.run("power", "learn", "--delete-drift") == 0
    assert "Drift test: leak" not in terminal.out


def test_the_cheapest_hours_are_planned(modelled: Terminal) -> None:
    assert modelled.run("power", "tariff", "--band", "00:00-06:00 0.05") == 0
    found = modelled.read("power", "hours", "--low-c", "3", "--high-c", "9")
    assert len(found["hours"]) == 24
    assert modelled.run("power", "hours", "--low-c", "9", "--high-c", "3") == 4


@pytest.mark.parametrize(
    ("words", "first", "line"),
    [
        ((), "span,first,last", "season,2026-11-01"),
        (("build",), "part,value,rests on", "cooling_w,600,told"),
        (("tariff",), "part,from,to,weekdays,EUR or value", "price,,,,0.3"),
        (("weather",), "series,begins,air C", "monthly mean,1,-4,,,,4"),
        (("what-if", "--pump-hours", "8:60"), "idea,kWh,cost EUR", "Pump 8\xa0h a day,"),
        (("learn",), "what,first,value", "spans between readings,,0"),
        (("hours", "--low-c", "3", "--high-c", "9"), "what,begins,run share", "hour,2"),
    ],
)
def test_every_figure_is_written_as_a_table(
    modelled: Terminal, tmp_path: Path, words: tuple[str, ...], first: str, line: str
) -> None:
    target = tmp_path / "power.csv"
    assert modelled.run("power", *words, "--csv", str(target)) == 0
    lines = target.read_text(encoding="utf-8-sig").splitlines()
    assert lines[0].startswith(first)
    assert any(each.startswith(line) for each in lines[1:])
    assert modelled.run("power", *words, "--csv", str(tmp_path / "gone" / "power.csv")) == 4


def test_measured_hours_and_hourly_prices_are_written_with_their_offset(
    modelled: Terminal, tmp_path: Path
) -> None:
    target, file = tmp_path / "out.csv", tmp_path / "in.csv"
    file.write_text(hourly_csv(START, 24, mean_c=5.0), encoding="utf-8")
    assert modelled.run("power", "weather", str(file), "--csv", str(target)) == 0
    written = target.read_text(encoding="utf-8-sig").splitlines()
    assert written[1].startswith("measured,2026-11-01T00:00+01:00,")
    file.write_text(prices_csv(START, 24), encoding="utf-8")
    assert modelled.run("power", "tariff", "--hourly", str(file), "--csv", str(target)) == 0
    written = target.read_text(encoding="utf-8-sig").splitlines()
    assert "hour,2026-11-01T07:00+01:00,2026-11-01T08:00+01:00,,0.30000" in written


def test_the_tariff_and_the_weather_in_use_are_shown(modelled: Terminal) -> None:
    assert modelled.run("power", "tariff") == 0
    assert "One price, 0.3 EUR" in modelled.out
    assert modelled.run("power", "weather") == 0
    assert "your twelve monthly means" in modelled.out


def test_the_units_of_wind_and_sun_can_be_told(terminal: Terminal, tmp_path: Path) -> None:
    assert tuple(WindUnit) == WIND_UNITS
    assert tuple(SunUnit) == SUN_UNITS
    path = tmp_path / "weather.csv"
    rows = [f"2026-10-{day:02},4,14,3,9" for day in range(1, 15)]
    path.write_text("date,tmin (C),tmax (C),wind (bft),ghi\n" + "\n".join(rows))
    command = ("power", "weather", str(path), "--preview")
    assert terminal.run(*command) == 0
    assert "Not used, as the unit is not clear: wind (bft) and ghi." in terminal.out
    assert "--wind-unit or --sun-unit" in terminal.out
    assert terminal.run(*command, "--wind-unit", "m_s", "--sun-unit", "mj_m2") == 0
    assert "tmax (C), wind (bft) and ghi, in °C" in terminal.out
    assert terminal.read(*command)["unclear_columns"] == ["wind (bft)", "ghi"]
