from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tubcare.energy.build_data import (
    Topic,
    read_build_ups,
    read_cautions,
    read_materials,
)
from tubcare.energy.chiller import Chiller, Evaporator, evaporator_cautions
from tubcare.energy.construction import u_value_w_m2k
from tubcare.errors import InputError

DATA = Path(__file__).parents[2] / "resources" / "energy"
MATERIALS = read_materials((DATA / "materials.toml").read_text(encoding="utf-8"))
BUILD_UPS = {
    built.key: built
    for built in read_build_ups((DATA / "build_ups.toml").read_text(encoding="utf-8"), MATERIALS)
}
CAUTIONS = read_cautions((DATA / "cautions.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("key", "in_wind", "in_still_air"),
    [
        ("bare_plastic", 17.4, 6.8),
        ("wood_40", 2.84, 2.26),
        ("inflatable_100", 4.4, 3.2),
        ("foam_25_wood_20", 0.92, 0.85),
        ("foam_50_wood_20", 0.50, 0.48),
        ("xps_80_wood_20", 0.39, 0.38),
    ],
)
def test_named_walls_have_their_u_values(key: str, in_wind: float, in_still_air: float) -> None:
    # Sums of resistances as ISO 6946, by hand; Rsi 0.005, Rse 0.04 and 0.13.
    layers = BUILD_UPS[key].layers
    assert u_value_w_m2k(layers, outside_m2k_w=0.04) == pytest.approx(in_wind, rel=0.02)
    assert u_value_w_m2k(layers, outside_m2k_w=0.13) == pytest.approx(in_still_air, rel=0.02)


def test_there_are_cautions_for_every_topic_each_with_a_source() -> None:
    assert {caution.topic for caution in CAUTIONS} == set(Topic)
    assert len({caution.key for caution in CAUTIONS}) == len(CAUTIONS)


@pytest.mark.parametrize("evaporator", Evaporator)
def test_each_kind_of_evaporator_has_its_cautions_written(evaporator: Evaporator) -> None:
    unit = Chiller(evaporator=evaporator, cooling_w=600.0, least_air_c=5.0)
    assert set(evaporator_cautions(unit)) <= {caution.key for caution in CAUTIONS}


def test_ice_on_either_coil_means_thaw_and_flow_through_needs_its_flow() -> None:
    by_kind = {
        kind: evaporator_cautions(Chiller(evaporator=kind, cooling_w=600.0)) for kind in Evaporator
    }
    for coil in (Evaporator.WALL_COIL, Evaporator.COIL_IN_WATER):
        assert "evaporator.ice_on_coil" in by_kind[coil]
        assert "evaporator.no_flow" not in by_kind[coil]
    assert "evaporator.no_flow" in by_kind[Evaporator.FLOW_THROUGH]
    texts = {caution.key: caution.text for caution in CAUTIONS}
    assert "thaw" in texts["evaporator.ice_on_coil"]
    assert "off at once" in texts["evaporator.no_flow"]


def test_no_caution_gives_a_person_a_time_or_temperature_but_the_two_allowed() -> None:
    figures = [
        word
        for caution in CAUTIONS
        if caution.topic is Topic.COLD_WATER
        for word in caution.text.replace("(", " ").split()
        if any(sign.isdigit() for sign in word)
    ]
    assert figures == ["15", "1-3"]


@pytest.mark.parametrize("forbidden", ["safe time", "safe to", "is safe", "healthy", "benefit"])
def test_no_caution_calls_anything_safe(forbidden: str) -> None:
    assert not any(forbidden in caution.text.lower() for caution in CAUTIONS)


@pytest.mark.parametrize(
    "text", ["", "x = ", "[caution.cold_water.a]\ntext = 1\nsource = 'x'", "[caution]\na = 1"]
)
def test_a_damaged_data_file_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_cautions(text)


def test_an_unknown_material_is_refused() -> None:
    text = "[build_up.x]\npart = 'wall'\nlayers = [{ material = 'cheese', thickness_mm = 5 }]"
    with pytest.raises(InputError, match="cheese"):
        read_build_ups(text, MATERIALS)


def test_importing_the_package_loads_no_numpy() -> None:
    code = "import sys, tubcare.energy; sys.exit('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == 0
