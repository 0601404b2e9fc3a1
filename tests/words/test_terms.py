"""Every member of a closed set has a word, and every name that the services use is known."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import subprocess
import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import tubcare.care
import tubcare.ledger
import tubcare.values
from tubcare.care.rrule_parts import Frequency
from tubcare.services.measures import QUANTITY_BOUNDS
from tubcare.values import Liner
from tubcare.words.fields import field_name
from tubcare.words.measures import MEASURED, measured_name, measured_value
from tubcare.words.money_terms import MONEY_TERMS
from tubcare.words.plan_terms import PLAN_TERMS
from tubcare.words.sentences.actions import ACTIONS
from tubcare.words.terms import TERMS, word

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from types import ModuleType

    from tubcare.words.locale import Speech
    from tubcare.words.terms import Term

SERVICES = Path(tubcare.values.__file__).parent / "services"
# The rule of a calendar is told as a whole.
TOLD_ELSEWHERE = {Frequency}
ALL_TERMS: dict[type[StrEnum], Mapping[StrEnum, Term]] = {
    **TERMS,
    **MONEY_TERMS,
    **PLAN_TERMS,
}


def modules() -> Iterator[ModuleType]:
    yield tubcare.values
    for package in (tubcare.care, tubcare.ledger):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            yield importlib.import_module(found.name)


def closed_sets() -> set[type[StrEnum]]:
    return {
        kind
        for module in modules()
        for _, kind in inspect.getmembers(module, inspect.isclass)
        if issubclass(kind, StrEnum) and kind is not StrEnum
    } - TOLD_ELSEWHERE


def test_every_member_of_every_closed_set_has_a_word() -> None:
    assert {
        kind.__name__: sorted(set(kind) - set(ALL_TERMS.get(kind, {})))
        for kind in closed_sets()
        if set(kind) - set(ALL_TERMS.get(kind, {}))
    } == {}


@pytest.mark.parametrize("kind", sorted(ALL_TERMS, key=str))
def test_no_two_members_of_a_set_share_a_word(kind: type[StrEnum]) -> None:
    words = list(ALL_TERMS[kind].values())
    assert len(set(words)) == len(words)


def test_words_are_in_the_language_of_the_person(
    english: Speech, german: Speech, finnish: Speech
) -> None:
    assert word(english, Liner.STAINLESS_STEEL) == "stainless steel"
    assert word(german, Liner.STAINLESS_STEEL) == "Edelstahl"
    assert word(finnish, Liner.WOOD) == "puu"


def test_every_measured_quantity_has_a_name() -> None:
    assert set(QUANTITY_BOUNDS) <= set(MEASURED)


def test_a_quantity_that_is_not_known_is_told_as_it_is_written(english: Speech) -> None:
    assert measured_name(english, "iron_mg_l") == "iron"
    assert measured_value(english, "iron_mg_l", 0.2) == "0.2\N{NO-BREAK SPACE}mg/L"
    assert field_name(english, "lid_kind") == "lid kind"
    assert field_name(english, "BYDAY") == "calendar rule, BYDAY"


def labels() -> set[str]:
    found = set()
    for path in SERVICES.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "write":
                first = node.args[0] if node.args else None
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found.add(first.value)
    return found


def test_every_action_of_the_services_has_a_name() -> None:
    assert labels() - set(ACTIONS) == set()
    assert {"open_season", "close_season", "set_state"} <= set(ACTIONS)


def test_words_load_neither_window_nor_database_nor_locale_data() -> None:
    script = (
        "import sys, tubcare.words.sentences.why, tubcare.words.sentences.errors,"
        " tubcare.words.sentences.reminders, tubcare.words.money, tubcare.words.money_terms;"
        "print([m for m in ('PySide6', 'sqlalchemy', 'babel') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
