"""Our balance against PHREEQC, run live over random waters.

phreeqpython carries IPhreeqc 3.7.3 and phreeqc.dat (Parkhurst & Appelo 2013). The waters span
0-25 °C, pH 6.6-8.6, alkalinity 20-200, hardness 20-400 and dissolved solids 100-2000 mg/L.
"""

from __future__ import annotations

import os
import random
from typing import Protocol

import phreeqpython
import pytest

from tubcare.water.balance import balance, totals_of
from tubcare.water.compounds import EFFECTS, Compound, dosed
from tubcare.water.equilibrium import at_rest_with_air, solve_ph
from tubcare.water.masses import ALKALINITY_EQUIVALENT, CALCIUM_CARBONATE
from tubcare.water.reading import Totals, WaterTest, background_salts

WATERS = 1000 if os.environ.get("TUBCARE_LONG") else 150


class Solution(Protocol):
    """What we use of a PHREEQC solution."""

    @property
    def pH(self) -> float: ...  # noqa: N802  the library's name

    def si(self, phase: str) -> float: ...

    def total_element(self, element: str, units: str = "mmol") -> float: ...

    def add(self, what: str, amount: float) -> Solution: ...

    def equalize(self, phases: list[str], to_si: list[float]) -> Solution: ...

    def forget(self) -> None: ...


class Engine(Protocol):
    """What we use of the PHREEQC library."""

    def add_solution(self, composition: dict[str, object]) -> Solution: ...


@pytest.fixture(scope="module")
def engine() -> Engine:
    made: Engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    return made


def random_waters() -> list[WaterTest]:
    draw = random.Random(20_261_125)
    waters: list[WaterTest] = []
    while len(waters) < WATERS:
        test = WaterTest(
            water_c=draw.uniform(0.0, 25.0),
            ph=draw.uniform(6.6, 8.6),
            alkalinity_mg_l=draw.uniform(20.0, 200.0),
            calcium_mg_l=draw.uniform(20.0, 400.0),
            tds_mg_l=draw.uniform(100.0, 2000.0),
        )
        waters.append(test)
    return waters


def in_phreeqc(engine: Engine, test: WaterTest) -> Solution:
    sodium, chloride = background_salts(test)
    return engine.add_solution(
        {
            "temp": test.water_c,
            "pH": test.ph,
            "units": "mmol/kgw",
            "Alkalinity": test.alkalinity_mg_l / ALKALINITY_EQUIVALENT,
            "Ca": test.calcium_mg_l / CALCIUM_CARBONATE,
            "Na": sodium,
            "Cl": f"{chloride} charge",
        }
    )


def total_of(solution: Solution) -> float:
    return solution.total_element("C", units="mmol")


def test_random_waters_balance_as_in_phreeqc(engine: Engine) -> None:
    for test in random_waters():
        ours, theirs = balance(test), in_phreeqc(engine, test)
        assert ours.saturation_index == pytest.approx(theirs.si("Calcite"), abs=0.02), test
        assert ours.totals.carbon == pytest.approx(total_of(theirs), rel=0.005), test
        theirs.forget()


@pytest.mark.parametrize(
    ("compound", "formula"),
    [
        (Compound.SODIUM_BISULFATE, "NaHSO4"),
        (Compound.HYDROCHLORIC_ACID, "HCl"),
        (Compound.SODA_ASH, "Na2CO3"),
        (Compound.SODIUM_BICARBONATE, "NaHCO3"),
        (Compound.CAUSTIC_SODA, "NaOH"),
        (Compound.CALCIUM_CHLORIDE, "CaCl2"),
    ],
)
def test_random_doses_read_as_in_phreeqc(engine: Engine, compound: Compound, formula: str) -> None:
    for test in random_waters()[:25]:
        mmol_l = 0.1
        after = dosed(totals_of(test), compound, mmol_l * EFFECTS[compound].molar_mass)
        theirs = in_phreeqc(engine, test)
        theirs.add(formula, mmol_l)
        assert solve_ph(after, water_c=test.water_c) == pytest.approx(theirs.pH, abs=0.005), test
        theirs.forget()


def test_random_waters_at_rest_with_air_stand_as_in_phreeqc(engine: Engine) -> None:
    for test in random_waters()[:50]:
        theirs = in_phreeqc(engine, test)
        theirs.equalize(["CO2(g)"], [-3.3768])
        ph, _ = at_rest_with_air(totals_of(test), water_c=test.water_c)
        assert ph == pytest.approx(theirs.pH, abs=0.005), test
        theirs.forget()


def test_borate_buffers_as_in_phreeqc(engine: Engine) -> None:
    """phreeqc.dat has pKa 9.24 at 25 °C with one enthalpy; ours is the fit over temperature."""
    for water_c in (5.0, 15.0, 25.0):
        boron = 50.0 / 10.81
        totals = Totals(
            alkalinity=2.0, carbon=1.9, calcium=0.5, sodium=2.0, chloride=1.0, boron=boron
        )
        theirs = engine.add_solution(
            {
                "temp": water_c,
                "pH": "8 charge",
                "units": "mmol/kgw",
                "C(4)": 1.9,
                "Ca": 0.5,
                "Na": 2.0,
                "Cl": 1.0,
                "B": boron,
            }
        )
        ours = solve_ph(totals, water_c=water_c)
        assert ours == pytest.approx(theirs.pH, abs=0.05)
        theirs.forget()
