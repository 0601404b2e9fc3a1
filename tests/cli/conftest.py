from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Terminal:
    """Return a terminal in plain English, without a logbook yet."""
    for name in ("LC_ALL", "LC_TIME", "LANG", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    return Terminal(tmp_path / "a.db", capsys)


@pytest.fixture
def tub(terminal: Terminal) -> Terminal:
    """Return a terminal whose logbook has one open tub."""
    terminal.do("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500")
    terminal.do("tub", "open")
    return terminal
