"""Catalogues: whole, in step with the source, with the same places to fill as the source."""

from __future__ import annotations

import ast
import importlib.util
import string
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tubcare.words.locale import languages, speech_for

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import ModuleType

    from babel.messages.catalog import Message

TOP = Path(__file__).resolve().parents[2]
SAYING = {"say": 0, "say_count": 0, "say_in": 1, "term": 1}
# Where a message that was marked elsewhere is handed on.
HANDING_ON = {"terms.py", "locale.py"}


def load_script() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "translations", TOP / "packaging" / "translations.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SCRIPT = load_script()


def ids(message: Message) -> tuple[str, ...]:
    return (message.id,) if isinstance(message.id, str) else tuple(message.id)


def told(message: Message) -> tuple[str, ...]:
    return (message.string,) if isinstance(message.string, str) else tuple(message.string or ())


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def own_messages() -> list[Message]:
    """Return the messages of this package; the window's may be ahead of their translation."""
    return [
        message
        for message in SCRIPT.extracted()
        if message.id
        and any(name.startswith(("tubcare/words/", "resources/")) for name, _ in message.locations)
    ]


@pytest.mark.parametrize("language", SCRIPT.LANGUAGES)
def test_every_sentence_is_translated(language: str) -> None:
    catalog = SCRIPT.read(language)
    untold = [
        message.id
        for message in own_messages()
        if (kept := catalog.get(message.id, message.context)) is None
        or kept.fuzzy
        or not all(told(kept))
    ]
    assert untold == []


@pytest.mark.parametrize("language", SCRIPT.LANGUAGES)
def test_translations_fill_the_same_places(language: str) -> None:
    catalog = SCRIPT.read(language)
    for message in catalog:
        if not message.id or not any(told(message)):
            continue
        wanted = places(ids(message)[-1])
        for text in told(message):
            assert places(text) | {"n"} == wanted | {"n"}, message.id
        if not message.pluralizable:
            assert places(told(message)[0]) == wanted, message.id


@pytest.mark.parametrize("language", SCRIPT.LANGUAGES)
def test_plurals_have_a_form_for_each_number(language: str) -> None:
    catalog = SCRIPT.read(language)
    plurals = [m for m in catalog if m.id and m.pluralizable and any(told(m))]
    assert plurals
    assert all(len(told(message)) == catalog.num_plurals for message in plurals)


@pytest.mark.parametrize("language", SCRIPT.LANGUAGES)
def test_the_compiled_catalogue_says_what_the_written_one_says(language: str) -> None:
    compiled = SCRIPT.po_path(language).with_suffix(".mo")
    assert compiled.read_bytes() == SCRIPT.mo_bytes(SCRIPT.read(language))


def test_the_program_finds_every_catalogue() -> None:
    assert languages() == ("en", *SCRIPT.LANGUAGES)
    assert speech_for({}, chosen="de_AT").say("tomorrow") == "morgen"
    assert speech_for({}, chosen="fi_FI").say("tomorrow") == "huomenna"


def calls() -> Iterator[tuple[Path, ast.Call, str]]:
    for path in sorted((TOP / "tubcare").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name in SAYING and len(node.args) > SAYING[name] and not shows(node.func):
                    yield path, node, name


def shows(function: ast.expr) -> bool:
    """Return whether it is the strip of the window, which shows text that is ready."""
    owner = getattr(function, "value", None)
    return getattr(owner, "attr", getattr(owner, "id", "")).lstrip("_") == "strip"


def test_no_message_is_put_together_before_it_is_translated() -> None:
    put_together = [
        f"{path.name}:{node.lineno}"
        for path, node, _ in calls()
        for part in node.args[:2]
        if isinstance(part, (ast.JoinedStr, ast.BinOp, ast.Call))
    ]
    assert put_together == []


def test_a_sentence_with_a_plural_is_never_said_without_one() -> None:
    """A catalogue finds such a sentence by its number alone."""
    said: dict[str, set[object]] = {"say": set(), "say_count": set()}
    for _, node, name in calls():
        if name in said and isinstance(node.args[0], ast.Constant):
            said[name].add(node.args[0].value)
    assert said["say"] & said["say_count"] == set()


def test_a_speech_says_under_no_other_name() -> None:
    """The script that takes messages into the catalogues would not see them."""
    renamed = [
        f"{path.name}:{node.lineno}"
        for path in sorted((TOP / "tubcare").rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Assign) and getattr(node.value, "attr", "") in SAYING
        for target in node.targets
        if getattr(target, "attr", getattr(target, "id", "")) not in SAYING
    ]
    assert renamed == []


def test_the_messages_of_this_package_are_literals() -> None:
    varied = [
        f"{path.name}:{node.lineno}"
        for path, node, name in calls()
        if path.is_relative_to(TOP / "tubcare" / "words") and path.name not in HANDING_ON
        if not all(isinstance(part, ast.Constant) for part in node.args[: SAYING[name] + 1])
    ]
    assert varied == []


def test_every_caution_goes_through_the_door_that_translates_it() -> None:
    shown = SCRIPT.extracted().get("Caution: {text}")
    assert [name for name, _ in shown.locations] == ["tubcare/words/plan_terms.py"]


def test_no_sentence_is_joined_from_pieces() -> None:
    joined = [
        f"{path.name}:{node.lineno}"
        for path in sorted((TOP / "tubcare" / "words" / "sentences").glob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.BinOp)
        and isinstance(node.op, ast.Add)
        and any(is_saying(side) for side in (node.left, node.right))
    ]
    assert joined == []


def is_saying(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and getattr(node.func, "attr", "") in SAYING
