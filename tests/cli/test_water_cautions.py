"""Every product's own cautions stand beside its dose in the terminal, whatever the dose is for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.test_commands import Terminal
from tubcare.services.water_cautions import caution_book
from tubcare.water.compounds import Compound

if TYPE_CHECKING:
    from pathlib import Path

HIGH_PH = ("ph=8.3", "alkalinity_mg_l=60", "free_chlorine_mg_l=2", "hardness_mg_l=80")
LOW_PH = ("ph=6.6", "alkalinity_mg_l=20", "free_chlorine_mg_l=2", "hardness_mg_l=80")
LOW_ALKALINITY = ("ph=7.0", "alkalinity_mg_l=15", "free_chlorine_mg_l=2", "hardness_mg_l=80")
SOFT = ("ph=7.4", "alkalinity_mg_l=50", "free_chlorine_mg_l=2", "hardness_mg_l=5")
NO_CHLORINE = ("ph=7.3", "alkalinity_mg_l=50", "free_chlorine_mg_l=0.2", "hardness_mg_l=80")
CASES = {
    Compound.SODIUM_BISULFATE: HIGH_PH,
    Compound.HYDROCHLORIC_ACID: HIGH_PH,
    Compound.SODA_ASH: LOW_PH,
    Compound.CAUSTIC_SODA: LOW_PH,
    Compound.SODIUM_BICARBONATE: LOW_ALKALINITY,
    Compound.CALCIUM_CHLORIDE: SOFT,
    Compound.CALCIUM_CHLORIDE_DIHYDRATE: SOFT,
    Compound.SODIUM_HYPOCHLORITE: NO_CHLORINE,
    Compound.CALCIUM_HYPOCHLORITE: NO_CHLORINE,
    Compound.DICHLOR: NO_CHLORINE,
    Compound.DICHLOR_DIHYDRATE: NO_CHLORINE,
    Compound.TRICHLOR: NO_CHLORINE,
}


@pytest.mark.parametrize("compound", list(CASES))
def test_a_dose_is_never_shown_without_any_of_its_cautions(
    compound: Compound,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name in ("LC_ALL", "LC_TIME", "LANG", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    tub = Terminal(tmp_path / "a.db", capsys)
    assert tub.run("tub", "add", "North", "--zone", "Europe/Oslo", "--litres", "500") == 0
    assert tub.run("tub", "open") == 0
    assert tub.run("water", "product", "Stuff", "--compound", compound.value) == 0
    assert tub.run("reading", *CASES[compound]) == 0
    assert tub.run("water", "plan") == 0
    assert "of Stuff" in tub.out
    for caution in caution_book().of(compound):
        assert f"Caution: {caution.text}" in tub.out
