"""The terminal as a person uses it, on a logbook of the test's own."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from tubcare.app import main

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


class Terminal:
    """Runs commands and keeps what they said."""

    def __init__(self, path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.path = path
        self._capsys = capsys
        self.out = ""
        self.err = ""

    def run(self, *words: str, today: str = "2026-11-25") -> int:
        code = main(["--logbook", str(self.path), "--today", today, "--as", "Ann", *words])
        self.out, self.err = self._capsys.readouterr()
        return code

    def do(self, *words: str) -> str:
        """Run what must succeed, and return what it said."""
        assert self.run(*words) == 0, self.err
        return self.out

    def read(self, *words: str) -> Any:  # noqa: ANN401  a JSON document
        assert self.run(*words, "--json") == 0
        return json.loads(self.out)
