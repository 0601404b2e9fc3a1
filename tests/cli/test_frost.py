"""`tubcare frost` through the program's one door."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.winters import minima_csv

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.terminal import Terminal


@pytest.fixture
def terminal(terminal: Terminal) -> Terminal:
    assert terminal.run("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    return terminal


@pytest.fixture
def station(tmp_path: Path) -> Path:
    path = tmp_path / "station.csv"
    path.write_text(minima_csv(), encoding="utf-8")
    return path


def test_without_weather_it_says_what_to_do_and_tells_the_night(terminal: Terminal) -> None:
    assert terminal.run("frost") == 0
    assert "tubcare frost import FILE" in terminal.out
    assert "Hose: about 25\N{NO-BREAK SPACE}min to 0\N{NO-BREAK SPACE}°C" in terminal.out
    hose = next(line for line in terminal.out.splitlines() if "Hose" in line)
    assert "min to " in hose.split("(")[1]
    assert "ice throughout" in hose
    assert "10% of it ice" in terminal.out


def test_a_preview_writes_nothing(terminal: Terminal, station: Path) -> None:
    preview = terminal.read("frost", "import", str(station), "--preview")
    assert (preview["winters"], preview["unit"]) == (20, "celsius")
    assert terminal.read("frost")["source"] == "none"


def test_importing_gives_the_dates(terminal: Terminal, station: Path) -> None:
    found = terminal.read("frost", "import", str(station))
    assert found["watch_from"]["on"] == "2026-10-02"
    assert found["dry_by"]["on"] == "2026-10-25"
    assert found["dry_by"]["method"] == "weibull"


def test_an_unclear_file_asks_and_takes_the_answer(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "plain.csv"
    path.write_text(minima_csv(unit=""), encoding="utf-8")
    assert terminal.run("frost", "import", str(path)) == 4
    assert "--unit" in terminal.err
    assert terminal.run("frost", "import", str(path), "--unit", "celsius") == 0


def test_choices_move_the_date_and_are_told(terminal: Terminal, station: Path) -> None:
    terminal.read("frost", "import", str(station))
    found = terminal.read("frost", "choose", "--lead-days", "12", "--dry-risk", "20")
    assert found["choices"]["lead_days"] == 12
    assert found["dry_by"]["on"] == "2026-10-20"


def test_known_dates_are_written_down_in_one_command(terminal: Terminal) -> None:
    found = terminal.read("frost", "dates", "10-05", "10-28")
    assert (found["source"], found["dry_by"]["on"]) == ("typed", "2026-10-28")


def test_the_week_names_the_day_to_be_dry(terminal: Terminal) -> None:
    assert terminal.run("tub", "open", "--on", "2026-10-01") == 0
    assert terminal.run("frost", "dates", "10-05", "12-01") == 0
    (note,) = terminal.read("week")["frost"]
    assert note == {"tub": "North", "edge": "frost_dry", "on": "2026-12-01", "passed": False}
    assert terminal.run("week") == 0
    assert "North: dry by 1 Dec" in terminal.out


def test_the_winters_on_record_are_written_as_a_table(
    terminal: Terminal, station: Path, tmp_path: Path
) -> None:
    terminal.read("frost", "import", str(station))
    target = tmp_path / "winters.csv"
    assert terminal.run("frost", "--csv", str(target)) == 0
    assert "winter,1996/1997,1996-10-01,1996-10-29" in target.read_text(encoding="utf-8-sig")


def test_a_missing_file_is_named(terminal: Terminal) -> None:
    assert terminal.run("frost", "import", "nowhere.csv") == 4
    assert "nowhere.csv cannot be read" in terminal.err


def test_the_night_without_power_is_told_with_ranges_as_json(terminal: Terminal) -> None:
    cut = terminal.read("frost", "--air-c", "-5")["power_cut"]
    for part in ("hose", "pump", "tub"):
        assert cut[f"{part}_low_h"] < cut[f"{part}_h"] < cut[f"{part}_high_h"]
        assert cut[f"{part}_ice_h"] > 0.0
    warm = terminal.read("frost", "--air-c", "2")["power_cut"]
    assert (warm["tub_h"], warm["tub_low_h"], warm["tub_ice_h"]) == (None, None, None)
