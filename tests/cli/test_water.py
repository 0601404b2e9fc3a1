"""``tubcare water`` through the one door of the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.test_commands import Terminal

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def tub(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Terminal:
    for name in ("LC_ALL", "LC_TIME", "LANG", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    made = Terminal(tmp_path / "a.db", capsys)
    assert made.run("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    assert made.run("tub", "open") == 0
    return made


def test_untested_water_says_how_to_write_down_a_test(tub: Terminal) -> None:
    assert tub.run("water") == 0
    assert "tubcare reading" in tub.out


def test_the_water_is_told_with_a_shape_and_stable_fields(tub: Terminal) -> None:
    assert tub.run("reading", "ph=8.2", "free_chlorine_mg_l=2", "alkalinity_mg_l=60") == 0
    assert tub.run("water") == 0
    assert "^  pH" in tub.out
    found = tub.read("water")
    assert found["outside"] == 1
    assert found["readings"][0]["standing"] == "above"
    assert found["readings"][0]["by"] == pytest.approx(0.4)


def test_the_terminal_never_says_safe(tub: Terminal) -> None:
    assert tub.run("reading", "ph=7.4", "free_chlorine_mg_l=2", "alkalinity_mg_l=60") == 0
    assert tub.run("water") == 0
    assert "safe" not in tub.out.replace("Guidelines for safe", "").casefold()
