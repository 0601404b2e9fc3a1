"""Each public function of the engine tells units, range, errors and source in its docstring."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

import tubcare.energy

FOLDER = Path(tubcare.energy.__file__).parent
_NUMBERS = re.compile(r"\b(float|int|Decimal|NDArray|Values|Hours|Numbers)\b")
_SECTION = re.compile(
    r"^(Parameters|Returns|Raises|Notes|References|Examples)\n-+\n", re.MULTILINE
)
_UNIT = re.compile(r"\[[^\]]+\]|\b(its|their) own unit|\bany unit", re.IGNORECASE)
_RANGE = re.compile(r"\.\.|\bat least\b|\bover 0\b|\bany\b|\bfinite\b|\brising\b|\bOver\b")


@dataclass(frozen=True, slots=True)
class Documented:
    """A public function and its docstring by section."""

    name: str
    head: str
    sections: dict[str, str]
    numbers: tuple[str, ...]
    names: tuple[str, ...]
    returns: str

    def entry(self, name: str) -> str:
        """Return what the docstring says of a parameter; empty when it says nothing."""
        pattern = rf"^(?:\w+, )*{name}(?:, \w+)*\n((?:    .*\n?)+)"
        found = re.search(pattern, self.sections.get("Parameters", ""), re.MULTILINE)
        return "" if found is None else found[1]


def _documented(module: str, node: ast.FunctionDef) -> Documented:
    text = ast.get_docstring(node) or ""
    pieces = _SECTION.split(text)
    given = [*node.args.args, *node.args.kwonlyargs]
    hints = {each.arg: ast.unparse(each.annotation or ast.Constant("")) for each in given}
    return Documented(
        name=f"{module}.{node.name}",
        head=pieces[0],
        sections=dict(zip(pieces[1::2], pieces[2::2], strict=True)),
        numbers=tuple(n for n, hint in hints.items() if _NUMBERS.search(hint)),
        names=tuple(hints),
        returns=ast.unparse(node.returns) if node.returns else "",
    )


def _public() -> list[Documented]:
    return [
        _documented(path.stem, node)
        for path in sorted(FOLDER.glob("*.py"))
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


FUNCTIONS = _public()


def test_the_engine_has_its_functions_found() -> None:
    found = {each.name for each in FUNCTIONS}
    assert {"power.run_power", "calibration.calibrate", "frost_risk.risk_date"} <= found


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda each: each.name)
def test_every_public_function_tells_its_errors_and_its_source(function: Documented) -> None:
    tells_errors = "Raises" in function.sections or "Raises nothing" in function.head
    assert tells_errors
    assert len(function.sections.get("References", "").strip()) > len("none")


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda each: each.name)
def test_every_number_that_goes_in_has_its_unit_and_range(function: Documented) -> None:
    unnamed = [name for name in function.names if not function.entry(name)]
    without_unit = [n for n in function.numbers if not _UNIT.search(function.entry(n))]
    without_range = [n for n in function.numbers if not _RANGE.search(function.entry(n))]
    assert (unnamed, without_unit, without_range) == ([], [], [])


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda each: each.name)
def test_every_number_that_comes_out_has_its_unit(function: Documented) -> None:
    if _NUMBERS.search(function.returns):
        assert _UNIT.search(function.head)


def _methods_with_numbers() -> list[tuple[str, str]]:
    found = []
    for path in sorted(FOLDER.glob("*.py")):
        for owner in ast.parse(path.read_text(encoding="utf-8")).body:
            if not isinstance(owner, ast.ClassDef) or owner.name.startswith("_"):
                continue
            found += [
                (f"{path.stem}.{owner.name}.{node.name}", ast.get_docstring(node) or "")
                for node in owner.body
                if isinstance(node, ast.FunctionDef)
                and not node.name.startswith("_")
                and node.returns is not None
                and _NUMBERS.search(ast.unparse(node.returns))
            ]
    return found


@pytest.mark.parametrize(("name", "text"), _methods_with_numbers(), ids=lambda each: each[:40])
def test_every_method_that_returns_numbers_tells_their_unit(name: str, text: str) -> None:
    assert _UNIT.search(text), name
