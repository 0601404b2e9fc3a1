"""`--today`: a day that has passed is written on, openly; on one to come nothing is written."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from tubcare.app import main
from tubcare.clock import SystemClock

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

PAST = "2026-05-20"
SAID = "Written down as on"
TO_COME = (SystemClock().now() + timedelta(days=40)).date().isoformat()
WRITING = (
    ("tub", "pause"),
    ("done", "suction"),
    ("skip", "suction", "--reason", "away"),
    ("dip",),
    ("reading", "ph=7.4"),
    ("meter", "kwh", "120"),
    ("fill", "500"),
    ("buy", "3", "Strips", "--quantity", "50"),
    ("water", "test", "ph=7.4"),
    ("water", "scoop", "spoon", "5"),
    ("water", "product", "Minus", "--compound", "sodium_bisulfate"),
    ("water", "range", "ph", "--low", "7", "--high", "7.8"),
    ("power", "tariff", "--price", "0.32"),
    ("frost", "dates", "10-01", "10-20"),
)
LOOKING = ("week", "tasks", "spend", "year", "tub", "water", "power", "frost")


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    for name in ("LC_ALL", "LC_TIME", "LANG", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)

    def run_words(*words: str, today: str = PAST) -> int:
        return main(["--logbook", str(tmp_path / "a.db"), "--today", today, "--as", "Ann", *words])

    assert run_words("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    assert run_words("tub", "open") == 0
    return run_words


@pytest.mark.parametrize("words", WRITING)
def test_what_is_written_on_a_day_that_has_passed_says_so(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    capsys.readouterr()
    assert run(*words) == 0
    assert f"{SAID} 20 May 2026, as --today says." in capsys.readouterr().out


@pytest.mark.parametrize("words", WRITING)
def test_nothing_is_written_on_a_day_to_come_and_the_way_out_is_named(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    capsys.readouterr()
    assert run(*words, today=TO_COME) == 4
    assert "leave --today out" in capsys.readouterr().err
    assert run("undo", "--json") == 0
    assert json.loads(capsys.readouterr().out)["undone"] == "open_season"


@pytest.mark.parametrize("word", LOOKING)
def test_looking_at_any_day_writes_nothing_and_says_nothing_of_it(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str], word: str
) -> None:
    capsys.readouterr()
    assert run(word) == 0
    assert run(word, today=TO_COME) == 0
    assert SAID not in capsys.readouterr().out


def test_a_day_of_its_own_outranks_today_and_the_fields_stay_as_they_are(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run("dip", "--on", "2026-05-19") == 0
    assert SAID not in capsys.readouterr().out
    assert run("fill", "500", "--json") == 0
    found: Any = json.loads(capsys.readouterr().out)
    assert set(found) == {"tub", "litres", "kind"}


def test_a_tick_on_a_day_that_has_passed_is_on_record_on_that_day(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run("done", "suction", "--json") == 0
    assert json.loads(capsys.readouterr().out)["on"] == PAST


def test_the_age_of_a_test_and_of_the_water_is_told_as_on_the_chosen_day(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("fill", "500") == 0
    assert run("water", "test", "ph=7.4") == 0
    capsys.readouterr()
    assert run("water", "--json", today="2026-05-21") == 0
    found: Any = json.loads(capsys.readouterr().out)
    # From noon, when nobody said, to the end of the day after.
    assert 35 * 3600 < found["age_s"] < 37 * 3600
    assert run("week", "--json", today="2026-05-21") == 0
    assert "wear of the water" not in capsys.readouterr().out
