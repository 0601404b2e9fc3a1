"""Each public formula of the water names its numbers with a range, and says what it refuses."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import tubcare.water

FOLDER = Path(tubcare.water.__file__).parent
_NUMBER = re.compile(r"(float|int)( \| None)?")
_RANGE = re.compile(r"\.\.|\bany\b")
_REFUSES = {"check", "check_temperature"}


def _public() -> list[ast.FunctionDef]:
    return [
        node
        for path in sorted(FOLDER.glob("*.py"))
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
        and not node.name.startswith("_")
        and node.name not in _REFUSES
    ]


every_formula = pytest.mark.parametrize("function", _public(), ids=lambda node: node.name)


@every_formula
def test_every_number_is_named_with_its_range(function: ast.FunctionDef) -> None:
    told = ast.get_docstring(function) or ""
    numbers = [
        each.arg
        for each in (*function.args.args, *function.args.kwonlyargs)
        if each.annotation is not None and _NUMBER.fullmatch(ast.unparse(each.annotation))
    ]
    assert [name for name in numbers if name not in told] == []
    assert not numbers or _RANGE.search(told)


@every_formula
def test_what_checks_its_numbers_says_what_it_raises(function: ast.FunctionDef) -> None:
    called = {
        node.func.id
        for node in ast.walk(function)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    raises = any(isinstance(node, ast.Raise) for node in ast.walk(function))
    if raises or called & _REFUSES:
        assert "raise" in (ast.get_docstring(function) or "").casefold()
