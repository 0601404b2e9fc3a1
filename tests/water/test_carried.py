"""A value that nobody read again is carried on by mass balance."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.water.waters import SOFT_FILL
from tubcare.water.carried import Added, Freshened, carried
from tubcare.water.compounds import EFFECTS, Compound
from tubcare.water.judged import Sighting

NEW = datetime(2026, 5, 1, 12, tzinfo=UTC)


def on(day: int) -> datetime:
    return NEW + timedelta(days=day)


def dose(compound: Compound, mg_l: float, day: int) -> Added:
    effect = EFFECTS[compound]
    return Added(at=on(day), effect=effect, mmol_l=mg_l / effect.molar_mass)


def test_dichlor_leaves_its_cyanurate() -> None:
    """0.910 mg of cyanuric acid for each mg/L of chlorine: molar masses, 129.075 / 141.8."""
    events = [dose(Compound.DICHLOR_DIHYDRATE, 1.805, day) for day in range(1, 31)]
    found = carried({}, events, fill=None, renewed_at=NEW)
    assert found["cyanuric_acid_mg_l"] == pytest.approx(30 * 0.910, rel=0.002)


def test_boric_acid_leaves_its_boron_until_fresh_water_thins_it() -> None:
    """0.175 mg of boron in a mg of boric acid: molar masses, 10.81 / 61.83."""
    events: list[Added | Freshened] = [
        dose(Compound.BORIC_ACID, 200.0, 1),
        Freshened(at=on(2), share=0.5),
    ]
    found = carried({}, events, fill=None, renewed_at=NEW)
    assert found["boron_mg_l"] == pytest.approx(0.5 * 200.0 * 0.1748, rel=0.002)


def test_bleach_with_its_salt_leaves_two_parts_of_chloride_in_two_days() -> None:
    """+1.0 mg/L chloride per mg/L chlorine with the equimolar salt, alkalinity unchanged."""
    bleach = EFFECTS[Compound.SODIUM_HYPOCHLORITE]
    salt = EFFECTS[Compound.SODIUM_CHLORIDE]
    mmol_l = 2.0 / 70.9
    events = [
        Added(at=on(day), effect=effect, mmol_l=mmol_l)
        for day in range(1, 86)
        for effect in (bleach, salt)
    ]
    seen = {
        "chloride_mg_l": Sighting(value=30.0, at=NEW),
        "alkalinity_mg_l": Sighting(value=60.0, at=NEW),
    }
    found = carried(seen, events, fill=SOFT_FILL.test, renewed_at=NEW)
    # 2 mg/L a day takes 30 to 200 mg/L in 85 days (mass balance).
    assert found["chloride_mg_l"] == pytest.approx(200.0, rel=0.01)
    assert "alkalinity_mg_l" not in found


def test_acid_since_the_last_reading_lowers_the_alkalinity() -> None:
    """23.99 mg/L of sodium bisulfate for 10 mg/L of alkalinity: molar masses."""
    seen = {"alkalinity_mg_l": Sighting(value=90.0, at=on(2))}
    events = [
        dose(Compound.SODIUM_BISULFATE, 23.99, 1),
        dose(Compound.SODIUM_BISULFATE, 23.99, 3),
    ]
    found = carried(seen, events, fill=None, renewed_at=NEW)
    assert found["alkalinity_mg_l"] == pytest.approx(80.0, abs=0.02)


def test_fresh_water_dilutes_towards_the_fill_water() -> None:
    """N changes: c_fill + (c0 - c_fill)(1 - f)^n."""
    seen = {"calcium_mg_l": Sighting(value=200.0, at=NEW)}
    named = {"hardness_mg_l": seen["calcium_mg_l"]}
    events = [Freshened(at=on(day), share=0.3) for day in (1, 2)]
    found = carried(named, events, fill=SOFT_FILL.test, renewed_at=NEW)
    fill = SOFT_FILL.test.calcium_mg_l
    assert found["calcium_mg_l"] == pytest.approx(fill + (200.0 - fill) * 0.49)


def test_what_went_in_before_the_reading_and_what_is_not_known_moves_nothing() -> None:
    seen = {"cyanurate_mg_l": Sighting(value=20.0, at=on(5))}
    events = [dose(Compound.DICHLOR_DIHYDRATE, 5.0, 2)]
    assert carried(seen, events, fill=None, renewed_at=NEW) == {}
    assert carried({}, events, fill=None, renewed_at=None) == {}
