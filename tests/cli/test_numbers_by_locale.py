"""Numbers on the command line are read by the person's locale, as in the window."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from tubcare.app import main

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

DAY = "2026-10-20"


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("LC_ALL", "LC_TIME", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    return tmp_path / "a.db"


@pytest.fixture
def run(path: Path) -> Callable[..., int]:
    def run_words(*words: str) -> int:
        return main(["--logbook", str(path), "--today", DAY, "--as", "Ann", *words])

    added = ("tub", "add", "North", "--zone", "Europe/Berlin", "--litres", "1.250,5")
    assert run_words(*added, "--currency", "EUR") == 0
    assert run_words("tub", "open") == 0
    return run_words


@pytest.fixture
def read(run: Callable[..., int], capsys: pytest.CaptureFixture[str]) -> Callable[..., Any]:
    def read_words(*words: str) -> Any:  # noqa: ANN401  a JSON document
        capsys.readouterr()
        assert run(*words, "--json") == 0
        return json.loads(capsys.readouterr().out)

    return read_words


def test_litres_are_read_with_marks_between_thousands_and_a_decimal_comma(
    read: Callable[..., Any],
) -> None:
    assert read("fill", "1.250,5")["litres"] == 1250.5
    assert read("fill", "1.250")["litres"] == 1250


def test_measured_values_have_a_decimal_comma(read: Callable[..., Any]) -> None:
    assert read("reading", "ph=7,4")["values"] == {"ph": 7.4}
    assert read("water", "test", "ph=7,3")["values"] == {"ph": 7.3}
    assert read("meter", "kwh", "1.234,5")["value_milli"] == 1_234_500


@pytest.mark.parametrize(
    "words",
    [
        ("water", "range", "ph", "--low", "7,0", "--high", "7,6"),
        ("water", "source", "tap", "ph=7,6", "alkalinity_mg_l=45,5"),
        ("water", "scoop", "spoon", "2,5"),
        ("water", "kit", "--strip", "ph=6,8;7,2;7,6"),
        ("power", "tariff", "--price", "0,32"),
        ("power", "drift", "0=5,0", "3=5,6", "6,5=6,3", "10=7,1", "--air-c", "12,5"),
        ("power", "means", *["-4,5"] * 3, *["8,25"] * 9, "--swing-k", "3,5"),
        ("frost", "choose", "--offset-c", "-1,5"),
    ],
)
def test_options_of_water_power_and_frost_have_a_decimal_comma(
    run: Callable[..., int], words: tuple[str, ...]
) -> None:
    assert run(*words) == 0


def test_a_number_that_can_be_read_in_two_ways_is_refused_and_both_are_named(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run("reading", "ph=7.4") == 4
    told = capsys.readouterr().err
    assert "7,4" in told
    assert "74" in told


def test_an_option_that_can_be_read_in_two_ways_is_refused_with_its_reason(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        run("fill", "7.4")
    assert ended.value.code == 2
    assert "7,4" in capsys.readouterr().err
