"""Doses against PHREEQC, run live: every compound into random waters, and the way back.

Tolerances are those of the published vectors: pH 0.005, saturation index 0.02, carbon 0.5 %,
alkalinity 0.01 mg/L, dose 2 %. Doses end between pH 5.5 and 9.0: above it CaOH+, which we leave
out, moves a hard water of little alkalinity by up to 0.01.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, Final

import pytest

from tests.reference.water.engine import Worst, in_phreeqc, random_waters, started
from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.balance import balance_of, totals_of
from tubcare.water.compounds import EFFECTS, Compound, chlorine_used, dosed, neutralised
from tubcare.water.inverse import dose_to_ph
from tubcare.water.masses import CHLORINE

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from tests.reference.water.engine import Engine
    from tubcare.water.balance import Balance
    from tubcare.water.reading import WaterTest

# What one mole brings, written out by hand in the masters of PHREEQC: Hyp- is OCl-, HCyu is
# cyanuric acid; an isocyanurate in water is its acid with HOCl set free.
REACTIONS: Final[Mapping[Compound, dict[str, float]]] = {
    Compound.SODIUM_BISULFATE: {"NaHSO4": 1},
    Compound.HYDROCHLORIC_ACID: {"HCl": 1},
    Compound.SODA_ASH: {"Na2CO3": 1},
    Compound.SODIUM_BICARBONATE: {"NaHCO3": 1},
    Compound.CAUSTIC_SODA: {"NaOH": 1},
    Compound.CALCIUM_CHLORIDE: {"CaCl2": 1},
    Compound.CALCIUM_CHLORIDE_DIHYDRATE: {"CaCl2": 1, "H2O": 2},
    Compound.SODIUM_HYPOCHLORITE: {"NaHyp": 1},
    Compound.CALCIUM_HYPOCHLORITE: {"CaHyp2": 1},
    Compound.DICHLOR: {"NaCyuH2Hyp2": 1},
    Compound.DICHLOR_DIHYDRATE: {"NaCyuH2Hyp2": 1},
    Compound.TRICHLOR: {"CyuH4Hyp3": 1},
    Compound.CHLORINE_GAS: {"H2ClHyp": 1},
    Compound.CYANURIC_ACID: {"HCyu": 1},
    Compound.SODIUM_CHLORIDE: {"NaCl": 1},
}
# Most of the pure compound that is dosed here. [mg/L]
MOST: Final[Mapping[Compound, float]] = {
    Compound.SODIUM_BISULFATE: 60.0,
    Compound.HYDROCHLORIC_ACID: 25.0,
    Compound.SODA_ASH: 40.0,
    Compound.SODIUM_BICARBONATE: 150.0,
    Compound.CAUSTIC_SODA: 15.0,
    Compound.CYANURIC_ACID: 60.0,
    Compound.CALCIUM_CHLORIDE: 200.0,
    Compound.CALCIUM_CHLORIDE_DIHYDRATE: 200.0,
    Compound.SODIUM_CHLORIDE: 400.0,
}
PER_COMPOUND = 200


@pytest.fixture(scope="module")
def engine() -> Engine:
    return started()


def _waters(seed: int) -> Iterator[WaterTest]:
    """Yield waters without sanitiser and with, some with cyanurate, as long as they are asked."""
    plain = random_waters(seed, 10_000)
    treated = random_waters(
        seed + 1,
        10_000,
        chlorine=lambda draw: draw.uniform(0.2, 5.0),
        cyanurate=lambda draw: draw.choice([0.0, draw.uniform(5.0, 50.0)]),
    )
    for first, second in zip(plain, treated, strict=True):
        yield first
        yield second


def _after(test: WaterTest, compound: Compound, mg_l: float) -> Balance | None:
    """Return the balance after a dose; None where it ends beyond what a tub can be."""
    try:
        state = balance_of(dosed(totals_of(test), compound, mg_l), water_c=test.water_c)
    except (InputError, OutOfRangeError):
        return None
    return state if 5.5 <= state.ph <= 9.0 else None


@pytest.mark.parametrize("compound", list(REACTIONS))
def test_random_doses_read_as_in_phreeqc(engine: Engine, compound: Compound) -> None:
    draw, worst, made = random.Random(9), Worst(), 0
    for test in _waters(10):
        mg_l = draw.uniform(0.5, MOST.get(compound, 12.0))
        ours = _after(test, compound, mg_l)
        if ours is None:
            continue
        mmol_l = mg_l / EFFECTS[compound].molar_mass
        theirs = in_phreeqc(engine, test)
        theirs.change({what: n * mmol_l for what, n in REACTIONS[compound].items()})
        worst.note_state(ours, theirs, (test, mg_l))
        theirs.forget()
        made += 1
        if made == PER_COMPOUND:
            break
    assert made == PER_COMPOUND
    worst.assert_within(ph=0.005, si=0.02, carbon=0.005, alkalinity=0.01)


def test_chlorine_used_up_leaves_the_water_as_in_phreeqc(engine: Engine) -> None:
    draw, worst = random.Random(11), Worst()
    for test in random_waters(12, 300, chlorine=lambda d: d.uniform(1.0, 8.0)):
        used = draw.uniform(0.2, 1.0) * test.free_chlorine_mg_l
        ours = balance_of(chlorine_used(totals_of(test), used), water_c=test.water_c)
        theirs = in_phreeqc(engine, test)
        theirs.change({"HHyp": -used / CHLORINE, "HCl": used / CHLORINE})
        worst.note_state(ours, theirs, (test, used))
        theirs.forget()
    worst.assert_within(ph=0.005, si=0.02, carbon=0.005, alkalinity=0.01)


@pytest.mark.parametrize(
    ("compound", "left"),
    [
        # Per mole of chlorine: what stays once the agent has ended it.
        (Compound.SULFITE, {"NaHSO4": 1, "NaCl": 1}),
        (Compound.THIOSULFATE_PENTAHYDRATE, {"Na2SO4": 0.25, "H2SO4": 0.25, "HCl": 1}),
        (Compound.SODIUM_ASCORBATE, {"NaCl": 1}),
        (Compound.ASCORBIC_ACID, {"HCl": 1}),
    ],
)
def test_a_neutraliser_leaves_the_water_as_in_phreeqc(
    engine: Engine, compound: Compound, left: dict[str, float]
) -> None:
    worst = Worst()
    for test in random_waters(13, 200, chlorine=lambda d: d.uniform(0.5, 5.0)):
        # A trace stays behind: PHREEQC stops at rounding below nothing.
        mmol_l = test.free_chlorine_mg_l / CHLORINE * (1.0 - 1e-7)
        ours = balance_of(neutralised(totals_of(test), compound, 500.0), water_c=test.water_c)
        if not 5.5 <= ours.ph <= 9.0:
            continue
        theirs = in_phreeqc(engine, test)
        theirs.change({"HHyp": -mmol_l} | {what: n * mmol_l for what, n in left.items()})
        worst.note_state(ours, theirs, test)
        theirs.forget()
    worst.assert_within(ph=0.005, si=0.02, carbon=0.005, alkalinity=0.01)


@pytest.mark.parametrize(
    ("compound", "formula", "towards"),
    [
        (Compound.SODIUM_BISULFATE, "NaHSO4", -1.0),
        (Compound.HYDROCHLORIC_ACID, "HCl", -1.0),
        (Compound.SODA_ASH, "Na2CO3", 1.0),
        (Compound.CAUSTIC_SODA, "NaOH", 1.0),
    ],
)
def test_the_dose_for_a_random_ph_brings_phreeqc_there_too(
    engine: Engine, compound: Compound, formula: str, towards: float
) -> None:
    """The dose found here ends in PHREEQC at the aim; so does no dose 2 % beside it."""
    draw, worst = random.Random(14), Worst()
    for test in random_waters(15, 300, chlorine=lambda d: d.choice([0.0, d.uniform(0.5, 4.0)])):
        aim = test.ph + towards * draw.uniform(0.1, 0.8)
        if not 6.5 <= aim <= 9.0:
            continue
        mg_l = dose_to_ph(totals_of(test), compound, water_c=test.water_c, target_ph=aim)
        assert mg_l is not None, (test, aim)
        theirs = in_phreeqc(engine, test)
        theirs.change({formula: mg_l / EFFECTS[compound].molar_mass})
        worst.note("ph", theirs.pH - aim, (test, aim))
        slope = (theirs.pH - test.ph) / mg_l
        worst.note("dose", (theirs.pH - aim) / slope / mg_l, (test, aim))
        theirs.forget()
    worst.assert_within(ph=0.005, dose=0.02)
