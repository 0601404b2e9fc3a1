"""Our balance against PHREEQC, run live over random waters.

The waters span 0-25 °C (and 0-35 °C once), pH 6.6-8.6, alkalinity 20-200, hardness 20-400 and
dissolved solids 100-2000 mg/L. Tolerances are those of the published vectors: saturation index
0.02, pH 0.005, carbon 0.5 %, alkalinity 0.01 mg/L, HOCl share 0.006, HOCl under cyanurate 0.5 %.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.reference.water.engine import (
    Worst,
    alkalinity_mg_l,
    in_phreeqc,
    random_waters,
    started,
)
from tubcare.water.balance import balance, balance_of, totals_of
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import at_rest_with_air, solve_ph
from tubcare.water.masses import CALCIUM_CARBONATE, CHLORINE, B
from tubcare.water.reading import Totals, mixed
from tubcare.water.sample import at_tub_temperature
from tubcare.water.saturation import precipitation_potential

if TYPE_CHECKING:
    from tests.reference.water.engine import Engine

WATERS = 1000


@pytest.fixture(scope="module")
def engine() -> Engine:
    return started()


@pytest.mark.parametrize(("seed", "highest_c"), [(20_261_125, 25.0), (35, 35.0)])
def test_a_thousand_waters_balance_as_in_phreeqc(
    engine: Engine, seed: int, highest_c: float
) -> None:
    worst = Worst()
    for test in random_waters(seed, WATERS, highest_c=highest_c):
        theirs = in_phreeqc(engine, test)
        worst.note_state(balance(test), theirs, test)
        theirs.forget()
    worst.assert_within(si=0.02, carbon=0.005, alkalinity=0.01)


def test_a_thousand_waters_with_chlorine_share_it_as_in_phreeqc(engine: Engine) -> None:
    worst = Worst()
    for test in random_waters(1, WATERS, chlorine=lambda draw: draw.uniform(0.2, 10.0)):
        ours, theirs = balance(test), in_phreeqc(engine, test)
        acid, ion = theirs.species["HHyp"], theirs.species["Hyp-"]
        worst.note("fraction", ours.hocl_fraction - acid / (acid + ion), test)
        worst.note("hocl", ours.hocl_mg_l / (1e3 * acid * CHLORINE) - 1.0, test)
        worst.note_state(ours, theirs, test)
        theirs.forget()
    worst.assert_within(fraction=0.006, hocl=0.005, si=0.02, carbon=0.005, alkalinity=0.01)


def test_a_thousand_waters_with_cyanurate_bind_chlorine_as_in_phreeqc(engine: Engine) -> None:
    worst = Worst()
    for test in random_waters(
        2,
        WATERS,
        highest_c=35.0,
        chlorine=lambda draw: draw.uniform(0.2, 10.0),
        cyanurate=lambda draw: draw.uniform(1.0, 100.0),
    ):
        ours, theirs = balance(test), in_phreeqc(engine, test)
        for name, species in {
            "hypochlorous_acid": "HHyp",
            "cyanuric_acid": "HCyu",
            "cyanurate": "Cyu-",
            "monochlorocyanurate": "HCyuHyp-",
            "dichlorocyanurate": "H2CyuHyp2-",
        }.items():
            held = 1e3 * theirs.species[species]
            worst.note(name, getattr(ours.species, name) / held - 1.0, test)
        worst.note_state(ours, theirs, test)
        theirs.forget()
    worst.assert_within(hypochlorous_acid=0.005, si=0.02, carbon=0.005, alkalinity=0.01)
    worst.assert_within(
        cyanuric_acid=0.005, cyanurate=0.005, monochlorocyanurate=0.005, dichlorocyanurate=0.01
    )


def test_random_waters_at_rest_with_air_stand_as_in_phreeqc(engine: Engine) -> None:
    draw, worst = random.Random(3), Worst()
    for test in random_waters(3, WATERS, highest_c=35.0):
        ppm = draw.uniform(380.0, 1200.0)
        theirs = in_phreeqc(engine, test)
        theirs.equalize(["CO2(g)"], [math.log10(ppm * 1e-6)])
        ph, rested = at_rest_with_air(totals_of(test), water_c=test.water_c, co2_ppm=ppm)
        worst.note_state(balance_of(rested, water_c=test.water_c, ph=ph), theirs, test)
        theirs.forget()
    worst.assert_within(si=0.02, ph=0.005, carbon=0.005, alkalinity=0.01)


def test_random_samples_read_warm_are_carried_to_the_tub_as_in_phreeqc(engine: Engine) -> None:
    draw, worst = random.Random(4), Worst()
    for test in random_waters(4, WATERS, highest_c=12.0, chlorine=lambda d: d.uniform(0.0, 5.0)):
        sample_c = draw.uniform(15.0, 30.0)
        theirs = in_phreeqc(engine, replace(test, water_c=sample_c))
        theirs.change_temperature(test.water_c)
        worst.note_state(balance(at_tub_temperature(test, sample_c=sample_c)), theirs, test)
        theirs.forget()
    worst.assert_within(si=0.02, ph=0.005, carbon=0.005, alkalinity=0.01)


def test_random_waters_mix_as_in_phreeqc(engine: Engine) -> None:
    draw, worst = random.Random(5), Worst()
    for tub, other in zip(random_waters(5, 500), random_waters(6, 500), strict=True):
        fill = replace(other, water_c=tub.water_c)
        share = draw.uniform(0.05, 0.95)
        kept, added = in_phreeqc(engine, tub), in_phreeqc(engine, fill)
        theirs = engine.mix_solutions({kept: 1.0 - share, added: share})
        together = mixed(totals_of(tub), totals_of(fill), share)
        worst.note_state(balance_of(together, water_c=tub.water_c), theirs, (tub, fill, share))
        for each in (kept, added, theirs):
            each.forget()
    worst.assert_within(si=0.02, ph=0.005, carbon=0.005, alkalinity=0.01)


def test_random_precipitation_potentials_are_those_of_phreeqc(engine: Engine) -> None:
    worst = Worst()
    for test in random_waters(7, 200):
        theirs = in_phreeqc(engine, test)
        before = theirs.total_element("Ca", units="mmol")
        theirs.equalize(["Calcite"], [0.0])
        fallen = (before - theirs.total_element("Ca", units="mmol")) * CALCIUM_CARBONATE
        ours = precipitation_potential(totals_of(test), water_c=test.water_c)
        worst.note("potential", (ours - fallen) / max(25.0, abs(fallen)), test)
        theirs.forget()
    worst.assert_within(potential=0.02)


def test_borate_buffers_as_in_phreeqc(engine: Engine) -> None:
    """Boric acid's own constant differs (one enthalpy there, a fit here): by up to 0.03 in pK."""
    draw = random.Random(8)
    for _ in range(200):
        water_c, boron = draw.uniform(0.0, 35.0), draw.uniform(5.0, 60.0) / B
        alkalinity = draw.uniform(1.0, 3.0)
        totals = Totals(
            alkalinity=alkalinity,
            carbon=alkalinity * draw.uniform(0.9, 1.15),
            calcium=draw.uniform(0.2, 1.5),
            sodium=alkalinity,
            boron=boron,
        )
        balanced = replace(totals, chloride=2.0 * totals.calcium)
        theirs = engine.add_solution(
            {
                "temp": water_c,
                "pH": "8 charge",
                "units": "mmol/kgw",
                "C(4)": balanced.carbon,
                "Ca": balanced.calcium,
                "Na": balanced.sodium,
                "Cl": balanced.chloride,
                "B": boron,
            }
        )
        ours = solve_ph(balanced, water_c=water_c)
        assert ours == pytest.approx(theirs.pH, abs=0.04), balanced
        theirs.forget()


def test_boric_acid_shares_itself_by_its_own_constant(engine: Engine) -> None:
    """The same water with the borate taken out: what PHREEQC's carbonate leaves is borate's."""
    totals = Totals(alkalinity=2.0, carbon=1.9, calcium=0.5, sodium=2.0, chloride=1.0, boron=4.0)
    state = balance_of(totals, water_c=15.0)
    theirs = engine.add_solution(
        {
            "temp": 15.0,
            "pH": state.ph,
            "units": "mmol/kgw",
            "C(4)": 1.9,
            "Ca": 0.5,
            "Na": 2.0,
            "Cl": "1.0 charge",
        }
    )
    borate = state.totals.alkalinity_mg_l - alkalinity_mg_l(theirs)
    assert 50.043 * state.species.borate == pytest.approx(borate, rel=0.02)
    found = state.species.borate / state.species.boric_acid
    davies = 10.0 ** (-0.505 * (state.ionic_strength**0.5 / (1 + state.ionic_strength**0.5)))
    expected = constants_at(15.0).k_boric * 10.0**state.ph / davies
    assert found == pytest.approx(expected, rel=0.01)
    theirs.forget()
