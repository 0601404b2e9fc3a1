"""Every product's own cautions stand beside its dose in the terminal, whatever the dose is for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.support.plans import add_task
from tubcare.clock import SystemClock
from tubcare.services.desk import Desk
from tubcare.services.tubs import change_profile, tubs
from tubcare.services.water_cautions import caution_book
from tubcare.store.open import open_store
from tubcare.values import Sanitiser
from tubcare.water.compounds import Compound

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.terminal import Terminal

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
    Compound.BROMINE_TABLET: ("ph=7.3", "alkalinity_mg_l=50", "bromine_mg_l=0.2"),
    Compound.HYDROGEN_PEROXIDE: ("ph=7.3", "alkalinity_mg_l=50", "peroxide_mg_l=2"),
}
SANITISERS = {
    Compound.BROMINE_TABLET: Sanitiser.BROMINE,
    Compound.HYDROGEN_PEROXIDE: Sanitiser.HYDROGEN_PEROXIDE,
}


def treat_with(path: Path, sanitiser: Sanitiser) -> None:
    clock = SystemClock()
    desk = Desk(open_store(path, clock.now()), clock, "Ann")
    (tub,) = tubs(desk)
    change_profile(desk, tub.id, replace(tub.profile, sanitiser=sanitiser))
    add_task(
        desk,
        tub.id,
        title="Sanitise",
        category="water",
        triggers=[
            {"kind": "reading", "when": f"{each} outside range"} for each in READ[sanitiser]
        ],
    )
    desk.store.close()


READ = {
    Sanitiser.CHLORINE: ("ph", "alkalinity_mg_l", "hardness_mg_l", "free_chlorine_mg_l"),
    Sanitiser.BROMINE: ("bromine_mg_l",),
    Sanitiser.HYDROGEN_PEROXIDE: ("peroxide_mg_l",),
}


@pytest.mark.parametrize("compound", list(CASES))
def test_a_dose_is_never_shown_without_any_of_its_cautions(
    tub: Terminal, tmp_path: Path, compound: Compound
) -> None:
    treat_with(tmp_path / "a.db", SANITISERS.get(compound, Sanitiser.CHLORINE))
    assert tub.run("water", "product", "Stuff", "--compound", compound.value) == 0
    assert tub.run("reading", *CASES[compound]) == 0
    for words in (("water", "plan"), ("week",)):
        assert tub.run(*words) == 0
        assert "of Stuff" in tub.out
        for caution in caution_book().of(compound):
            assert f"Caution: {caution.text}" in tub.out


@pytest.mark.parametrize("compound", list(Compound))
def test_every_product_that_can_be_kept_is_written_down_with_its_cautions(
    tub: Terminal, compound: Compound
) -> None:
    assert tub.run("water", "product", "Stuff", "--compound", compound.value) == 0
    assert tub.run("water", "dose", "stuff", "5") == 0
    for caution in caution_book().of(compound):
        assert f"Caution: {caution.text}" in tub.out
