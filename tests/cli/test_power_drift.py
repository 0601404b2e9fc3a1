"""What the terminal says of a drift test that no meter readings go with."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.support.terminal import Terminal

MEANS = ("-4", "-4", "0", "5", "11", "15", "18", "16", "11", "6", "1", "-2")


@pytest.fixture
def terminal(terminal: Terminal) -> Terminal:
    assert terminal.run("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    assert terminal.run("tub", "open", "--on", "2026-11-01") == 0
    assert terminal.run("power", "build", "--cooling-w", "600", "--pump-w", "40") == 0
    assert terminal.run("power", "means", *MEANS) == 0
    return terminal


def test_the_model_says_that_only_its_leak_is_from_the_drift_test(terminal: Terminal) -> None:
    readings = ("0=5.0", "4=6.1", "8=7.1", "12=8.0")
    assert terminal.run("power", "drift", *readings, "--air-c", "20") == 0
    assert terminal.run("power", "learn") == 0
    assert "takes the leak from the drift test" in terminal.out
    assert "efficiency still goes by the description, give or take 20" in terminal.out
    assert "description stands" not in terminal.out
    assert terminal.run("power") == 0
    assert "takes this tub's leak from the drift test" in terminal.out
    assert terminal.read("power")["goes_by"] == "drift_test"
    assert terminal.run("power", "learn", "--delete-drift") == 0
    assert "description stands" in terminal.out


def test_a_rough_drift_test_is_told_to_be_of_no_use(terminal: Terminal) -> None:
    readings = ("0=4.0", "4=5.4", "8=4.1", "12=5.4")
    assert terminal.run("power", "drift", *readings, "--air-c", "20") == 0
    assert terminal.run("power", "learn") == 0
    assert "does not use this drift test" in terminal.out
    assert "description stands" in terminal.out
