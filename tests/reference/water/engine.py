"""PHREEQC as the tests use it: one water in, its numbers out.

phreeqpython carries IPhreeqc 3.7.3 and phreeqc.dat (Parkhurst & Appelo 2013, USGS Techniques and
Methods 6-A43). Hypochlorite and cyanurate are added to it as decoupled masters, with the text that
stands beside the published vectors: for them the constants are shared, the solver is not.
"""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import TYPE_CHECKING, Final, Protocol

import phreeqpython

from tubcare.errors import InputError
from tubcare.water.balance import totals_of
from tubcare.water.masses import ALKALINITY_EQUIVALENT
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from tubcare.water.balance import Balance

_VECTORS = Path(__file__).parent / "vectors.json"
# What each species of PHREEQC carries of alkalinity. [eq/mol]
_ALKALINITY: Final[Mapping[str, float]] = {
    "HCO3-": 1.0,
    "CO3-2": 2.0,
    "CaHCO3+": 1.0,
    "CaCO3": 2.0,
    "NaHCO3": 1.0,
    "NaCO3-": 2.0,
    "OH-": 1.0,
    "CaOH+": 1.0,
    "H+": -1.0,
    "HSO4-": -1.0,
    "Hyp-": 1.0,
    "Cyu-": 1.0,
    "HCyuHyp-": 1.0,
    "H2CyuHyp2-": 1.0,
}


class Solution(Protocol):
    """What we use of a PHREEQC solution."""

    @property
    def pH(self) -> float: ...  # noqa: N802  the library's name

    @property
    def species(self) -> Mapping[str, float]: ...

    def si(self, phase: str) -> float: ...

    def total_element(self, element: str, units: str = "mmol") -> float: ...

    def change(self, amounts: Mapping[str, float]) -> Solution: ...

    def change_temperature(self, to_c: float) -> Solution: ...

    def equalize(self, phases: list[str], to_si: list[float]) -> Solution: ...

    def forget(self) -> None: ...


class Engine(Protocol):
    """What we use of the PHREEQC library."""

    def add_solution(self, composition: dict[str, object]) -> Solution: ...

    def mix_solutions(self, shares: Mapping[Solution, float]) -> Solution: ...


def started() -> Engine:
    """Return PHREEQC with hypochlorite and cyanurate in its database."""
    made = phreeqpython.PhreeqPython(database="phreeqc.dat")
    made.ip.run_string(json.loads(_VECTORS.read_text("utf-8"))["meta"]["database_additions"])
    engine: Engine = made
    return engine


def in_phreeqc(engine: Engine, test: WaterTest) -> Solution:
    """Return the water of a test, its charge balanced on chloride."""
    totals = totals_of(test)
    parts: dict[str, object] = {
        "temp": test.water_c,
        "pH": test.ph,
        "units": "mmol/kgw",
        "Alkalinity": totals.alkalinity,
        "Ca": totals.calcium,
        "Na": totals.sodium,
        "Cl": f"{totals.chloride} charge",
    }
    if totals.chlorine:
        parts["Hyp"] = totals.chlorine
    if totals.cyanurate:
        parts["Cyu"] = totals.cyanurate
    return engine.add_solution(parts)


def alkalinity_mg_l(water: Solution) -> float:
    """Return the alkalinity summed over the species of PHREEQC [mg/L as CaCO3]."""
    carried = sum(_ALKALINITY.get(name, 0.0) * held for name, held in water.species.items())
    return 1e3 * carried * ALKALINITY_EQUIVALENT


class Worst:
    """The largest deviation of each quantity over many waters, with the water it came from."""

    def __init__(self) -> None:
        self.found: dict[str, tuple[float, object]] = {}

    def note(self, name: str, deviation: float, water: object) -> None:
        """Keep a deviation if it is the largest so far."""
        if name not in self.found or abs(deviation) > self.found[name][0]:
            self.found[name] = (abs(deviation), water)

    def note_state(self, ours: Balance, theirs: Solution, water: object) -> None:
        """Keep how far a balance lies from PHREEQC's."""
        self.note("si", ours.saturation_index - theirs.si("Calcite"), water)
        self.note("ph", ours.ph - theirs.pH, water)
        self.note("alkalinity", ours.totals.alkalinity_mg_l - alkalinity_mg_l(theirs), water)
        carbon = theirs.total_element("C", units="mmol")
        # Where cyanurate carries nearly all of the alkalinity, the carbon left is a difference.
        self.note("carbon", (ours.totals.carbon - carbon) / max(carbon, 0.1), water)

    def assert_within(self, **limits: float) -> None:
        """Assert that every quantity named keeps to its limit."""
        for name, limit in limits.items():
            largest, water = self.found[name]
            assert largest <= limit, f"{name}: {largest} for {water}"


def random_waters(
    seed: int,
    count: int,
    *,
    highest_c: float = 25.0,
    chlorine: Callable[[random.Random], float] | None = None,
    cyanurate: Callable[[random.Random], float] | None = None,
) -> Iterator[WaterTest]:
    """Yield random waters: pH 6.6-8.6, alkalinity 20-200, hardness 20-400, solids 100-2000 mg/L.

    Those in which chlorine and cyanurate would carry more than the alkalinity are no waters.
    """
    draw = random.Random(seed)
    made = 0
    while made < count:
        test = WaterTest(
            water_c=draw.uniform(0.0, highest_c),
            ph=draw.uniform(6.6, 8.6),
            alkalinity_mg_l=draw.uniform(20.0, 200.0),
            calcium_mg_l=draw.uniform(20.0, 400.0),
            tds_mg_l=draw.uniform(100.0, 2000.0),
            free_chlorine_mg_l=chlorine(draw) if chlorine else 0.0,
            cyanuric_acid_mg_l=cyanurate(draw) if cyanurate else 0.0,
        )
        try:
            totals_of(test)
        except InputError:
            continue
        made += 1
        yield test
