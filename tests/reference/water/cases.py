"""The published cases: read once, handed out group by group.

`vectors.json` was computed with PHREEQC 3.7.3 (Parkhurst & Appelo 2013, USGS Techniques and
Methods 6-A43), database phreeqc.dat; its `meta` names the additions and conventions.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Final

from typing_extensions import override

from tubcare.water.balance import totals_of
from tubcare.water.compounds import (
    Compound,
    chlorine_used,
    dosed,
    neutralised,
    peroxide_against_chlorine,
)
from tubcare.water.masses import CL
from tubcare.water.reading import Totals, WaterTest

if TYPE_CHECKING:
    from collections.abc import Mapping

_PATH = Path(__file__).parent / "vectors.json"
COMPOUNDS: Final[Mapping[str, Compound]] = {
    "NaHSO4": Compound.SODIUM_BISULFATE,
    "HCl": Compound.HYDROCHLORIC_ACID,
    "Na2CO3": Compound.SODA_ASH,
    "NaHCO3": Compound.SODIUM_BICARBONATE,
    "NaOH": Compound.CAUSTIC_SODA,
    "CaCl2": Compound.CALCIUM_CHLORIDE,
    "CaCl2_2H2O": Compound.CALCIUM_CHLORIDE_DIHYDRATE,
    "NaOCl": Compound.SODIUM_HYPOCHLORITE,
    "Ca(OCl)2": Compound.CALCIUM_HYPOCHLORITE,
    "dichlor_anhydrous": Compound.DICHLOR,
    "dichlor_dihydrate": Compound.DICHLOR_DIHYDRATE,
    "trichlor": Compound.TRICHLOR,
    "Cl2": Compound.CHLORINE_GAS,
    "Cl2_gas": Compound.CHLORINE_GAS,
    "Ca_OCl_2": Compound.CALCIUM_HYPOCHLORITE,
    "dichlor": Compound.DICHLOR,
    "cyanuric_acid": Compound.CYANURIC_ACID,
    "Na2S2O3_to_sulfate": Compound.THIOSULFATE,
    "ascorbic_acid": Compound.ASCORBIC_ACID,
    "H2O2": Compound.HYDROGEN_PEROXIDE,
}


class Case:
    """One case: its identity and its numbers by dotted path."""

    def __init__(self, data: Mapping[str, object]) -> None:
        self._data = data
        self.id = str(data.get("id", data.get("T_C")))

    @override
    def __repr__(self) -> str:
        return self.id

    def __contains__(self, path: str) -> bool:
        return self._find(path) is not None

    def _find(self, path: str) -> object:
        node: object = self._data
        for part in path.split("."):
            node = node.get(part) if isinstance(node, dict) else None
        return node

    def number(self, path: str) -> float:
        """Return the number at a dotted path."""
        value = self._find(path)
        assert isinstance(value, (int, float)), path
        return float(value)

    def text(self, path: str) -> str:
        """Return the text at a dotted path."""
        return str(self._find(path))

    def doses(self) -> list[tuple[str, float]]:
        """Return the doses of the case in their order, [mg/L pure]."""
        found = self._find("inputs.doses_mgL_pure")
        assert isinstance(found, list)
        return [(dose["product"], dose["mgL"]) for dose in found]


def group(name: str) -> list[Case]:
    """Return the cases of a group."""
    return [Case(item) for item in json.loads(_PATH.read_text("utf-8"))[name]]


def ratios(*path: str) -> dict[str, float]:
    """Return one table of the published ratios."""
    node = json.loads(_PATH.read_text("utf-8"))["stoichiometry"]
    for part in path:
        node = node[part]
    return {name: float(value) for name, value in node.items()}


def case_test(case: Case, where: str = "inputs", **changes: float) -> WaterTest:
    """Return the test that the case describes."""

    def first(*names: str) -> float:
        return next((case.number(f"{where}.{n}") for n in names if f"{where}.{n}" in case), 0.0)

    values = {
        "water_c": first("T_C"),
        "ph": first("pH", "start_pH"),
        "alkalinity_mg_l": first("alk_total_mgL_CaCO3", "alk_mgL_CaCO3"),
        "calcium_mg_l": first("ca_hardness_mgL_CaCO3"),
        "free_chlorine_mg_l": first("total_available_cl_mgL"),
        "cyanuric_acid_mg_l": first("cya_mgL"),
    }
    if f"{where}.cl_mmolL" in case:
        values["chloride_mg_l"] = first("cl_mmolL") * CL
    else:
        values["tds_mg_l"] = first("tds_sum_of_ions_mgL")
    return WaterTest(**(values | changes))


def after_doses(case: Case) -> Totals:
    """Return the totals after every dose of the case."""
    totals = totals_of(case_test(case))
    for product, mg_l in case.doses():
        totals = _after_dose(totals, product, mg_l)
    return totals


def _after_dose(totals: Totals, product: str, mg_l: float) -> Totals:
    if product == "chlorine_used":
        return chlorine_used(totals, mg_l)
    compound = COMPOUNDS[product]
    if compound is Compound.HYDROGEN_PEROXIDE:
        return peroxide_against_chlorine(dosed(totals, compound, mg_l))
    if compound in {Compound.THIOSULFATE, Compound.ASCORBIC_ACID}:
        return neutralised(totals, compound, mg_l)
    return dosed(totals, compound, mg_l)
