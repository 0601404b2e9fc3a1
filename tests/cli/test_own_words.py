"""What comes from the program's own files is read in the language of the terminal."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tubcare.app import main

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


@pytest.fixture
def german(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., str]:
    """Return a call that runs a command in German and returns what it said."""
    for name in ("LC_ALL", "LC_TIME", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "de_DE.UTF-8")

    def run(*words: str) -> str:
        here = ["--logbook", str(tmp_path / "a.db"), "--as", "Ann"]
        assert main([*here, *words]) == 0
        return capsys.readouterr().out

    run("tub", "add", "Nord", "--zone", "Europe/Berlin", "--litres", "500")
    run("tub", "open")
    return run


def test_a_task_is_found_by_the_words_that_the_person_sees(german: Callable[..., str]) -> None:
    assert "FI-Schutzschalter prüfen" in german("tasks")
    told = german("tasks", "schutzschalter")
    assert "Drücke die Prüftaste" in told
    assert "Vorsicht: Wasser und Strom töten." in told
    assert "FI-Schutzschalter prüfen" in german("done", "schutzschalter")


def test_the_document_of_a_task_is_in_the_same_language(german: Callable[..., str]) -> None:
    read = json.loads(german("tasks", "schutzschalter", "--json"))
    assert read["title"] == "FI-Schutzschalter prüfen"
    assert any(text.startswith("Wasser und Strom töten.") for text in read["cautions"])


def test_a_dose_is_told_with_german_cautions(german: Callable[..., str]) -> None:
    german("water", "product", "Säure", "--compound", "sodium_bisulfate")
    told = german("water", "dose", "Säure", "10")
    assert "Vorsicht: Lass nie Säure mit einem Chlormittel zusammenkommen" in told
    assert "Never" not in told
