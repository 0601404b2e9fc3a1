"""What --json writes is what its page says, field by field, and the page is all there is."""

from __future__ import annotations

import ast
import json
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import tubcare.cli
from tests.support.weather_files import hourly_csv
from tests.support.winters import minima_csv
from tubcare.app import main
from tubcare.resource_files import read_text

if TYPE_CHECKING:
    from collections.abc import Callable

PAGE = read_text("help/json.txt")
COMMANDS = {
    "done, skip, put-off": ("done", "suction", "--restart", "yes"),
    "tasks TASK": ("tasks", "suction"),
    "tasks --coming MONTHS": ("tasks", "--coming", "2"),
    "undo": ("undo",),
    "redo": ("redo",),
    "week": ("week",),
    "tasks": ("tasks",),
    "dip": ("dip", "2"),
    "reading": ("reading", "ph=7.4"),
    "meter": ("meter", "kwh", "120"),
    "fill": ("fill", "500"),
    "records": ("records",),
    "records --delete RECORD": ("records", "--delete", "dip:1"),
    "buy": ("buy", "3", "Strips", "--quantity", "50"),
    "spend": ("spend",),
    "year": ("year",),
    "year --csv FILE": ("year", "--csv", "FILE"),
    "tub": ("tub",),
    "tub open, close, pause, rest, resume": ("tub", "pause"),
    "backup": ("backup",),
    "backup --list": ("backup", "--list"),
    "remind": ("remind",),
    "restore": ("restore",),
    "water": ("water",),
    "water plan": ("water", "plan"),
    "water test": ("water", "test", "ph=7.4"),
    "water kit": ("water", "kit"),
    "water course QUANTITY": ("water", "course", "ph"),
    "water shelf": ("water", "shelf"),
    "water product": ("water", "product", "Minus", "--compound", "sodium_bisulfate"),
    "water scoop": ("water", "scoop", "spoon", "5"),
    "water source": ("water", "source", "tap", "ph=7.6", "alkalinity_mg_l=45"),
    "water ranges": ("water", "ranges"),
    "water range": ("water", "range", "ph", "--low", "7", "--high", "7.8"),
    "water export": ("water", "export", "FILE"),
    "frost": ("frost",),
    "frost import FILE --preview": ("frost", "import", "MINIMA", "--preview"),
    "power": ("power",),
    "power what-if": ("power", "what-if"),
    "power build": ("power", "build"),
    "power tariff": ("power", "tariff", "--price", "0.3"),
    "power learn": ("power", "learn"),
    "power drift": ("power", "drift", "0=5", "4=6.1", "8=7.1", "12=8", "--air-c", "20"),
    "power hours": ("power", "hours", "--low-c", "3", "--high-c", "9"),
    "power weather": ("power", "weather"),
    "power weather FILE --preview": ("power", "weather", "WEATHER", "--preview"),
}
MEANS = ("-4", "-4", "0", "5", "11", "15", "18", "16", "11", "6", "1", "-2")
# Tested where they have something to work on.
ELSEWHERE = {
    "item of a week",
    "span of power",
    "tub add",
    "water done STEP",
    "water dose PRODUCT AMOUNT",
    "water import",
}


def documents() -> dict[str, str]:
    """Return the lines of the page below each command."""
    found: dict[str, str] = {}
    for block in PAGE.split("\n\n")[1:]:
        head, _, body = block.partition("\n")
        found[head.removeprefix("tubcare ").strip()] = body
    return found


def fields_of(body: str) -> tuple[set[str], dict[str, set[str]]]:
    """Return the fields of a document, and those of the lists in it."""
    fields: set[str] = set()
    lists: dict[str, set[str]] = {}
    for line in filter(str.strip, body.splitlines()):
        names, _, about = line.strip().partition("  ")
        fields |= set(names.split())
        told = about.strip()
        if told.startswith("list of ") and not told.startswith(("list of items", "list of dates")):
            words = told.removeprefix("list of ").split(",")[0].replace(" and ", " ")
            words = words.split(" that ")[0]
            lists[names.strip()] = set(words.split())
    return fields, lists


@pytest.fixture
def ask(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., Any]:
    path = str(tmp_path / "a.db")

    def asked(*words: str) -> Any:  # noqa: ANN401  a JSON document
        files = {name: str(tmp_path / f"{name}.csv") for name in ("FILE", "MINIMA", "WEATHER")}
        named = [files.get(word, word) for word in words]
        here = ["--logbook", path, "--today", "2026-05-20", "--as", "Ann"]
        assert main([*here, *named, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    added = asked("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500")
    assert set(added) == fields_of(documents()["tub add"])[0]
    asked("tub", "open")
    start = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock
    (tmp_path / "MINIMA.csv").write_text(minima_csv(3), encoding="utf-8")
    (tmp_path / "WEATHER.csv").write_text(hourly_csv(start, 48), encoding="utf-8")
    return asked


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_writes_the_fields_of_its_page(ask: Callable[..., Any], command: str) -> None:
    if command in {"undo", "redo", "records", "records --delete RECORD"}:
        ask("dip")
    if command == "redo":
        ask("undo")
    if command in {"restore", "backup --list"}:
        ask("backup")
    if command == "spend":
        ask("buy", "3", "Strips")
    if command in {"power what-if", "power hours"}:
        ask("power", "build", "--cooling-w", "600", "--pump-w", "40")
        ask("power", "tariff", "--price", "0.3")
        ask("power", "means", *MEANS)
    fields, lists = fields_of(documents()[command])
    found = ask(*COMMANDS[command])
    assert set(found) == fields
    for name, inner in lists.items():
        for each in found[name] if isinstance(found[name], list) else [found[name]]:
            if each is not None:
                assert set(each) == inner


def test_an_item_of_a_week_has_the_fields_of_the_page(ask: Callable[..., Any]) -> None:
    (item, *_) = ask("week")["due_today"]
    assert set(item) == fields_of(documents()["item of a week"])[0]


def test_the_page_documents_every_command_that_is_tested_and_no_other() -> None:
    assert set(documents()) - ELSEWHERE == set(COMMANDS)


def test_a_span_of_power_has_the_fields_of_the_page(ask: Callable[..., Any]) -> None:
    season = ask("power")["season"]
    assert set(season) == fields_of(documents()["span of power"])[0]


def test_the_terminal_shows_the_page_without_a_logbook(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["fields"]) == 0
    assert capsys.readouterr().out == PAGE


def test_no_line_of_the_terminal_is_written_around_the_language() -> None:
    bare = []
    for path in sorted(Path(tubcare.cli.__path__[0]).glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "line":
                bare += [(path.name, node.lineno) for each in node.args if _has_words(each)]
    assert bare == []


def _has_words(node: ast.expr) -> bool:
    """Return whether a literal, or the literal parts of an f-string, hold a word."""
    parts = node.values if isinstance(node, ast.JoinedStr) else [node]
    texts = [p.value for p in parts if isinstance(p, ast.Constant) and isinstance(p.value, str)]
    return any(word.isalpha() and word != "UTC" for text in texts for word in text.split())
