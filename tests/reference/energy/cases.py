"""Reads `vectors.json`: values computed with general-purpose libraries.

Each case names its method; the libraries and their versions stand in the file's head (numpy,
scipy, CoolProp, iapws, PsychroLib, pandas). Thermal cases hold 4207 J/(L K) constant.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

VOLUMETRIC_HEAT_J_L_K = 4207.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One computed case."""

    name: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    rel: float
    abs: float

    def agrees(self, got: float | None, key: str) -> bool:
        """Say whether `got` meets the expected value within the case's tolerance."""
        want = self.expected[key]
        if want is None or got is None:
            return want is got
        return math.isclose(got, want, rel_tol=self.rel, abs_tol=self.abs)


def cases(group: str) -> list[Case]:
    """Return the cases of a group."""
    text = Path(__file__).with_name("vectors.json").read_text(encoding="utf-8")
    return [
        Case(
            name=raw["id"],
            inputs=raw["inputs"],
            expected=raw["expected"],
            rel=raw["tol"].get("rel", 0.0),
            abs=raw["tol"].get("abs", 0.0),
        )
        for raw in json.loads(text)["cases"]
        if raw["group"] == group
    ]


def case_name(case: Case) -> str:
    """Return the name under which a case shows in the test report."""
    return case.name
