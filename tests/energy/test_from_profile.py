"""The build that a profile stands for, and what a person says beside it.

Ranges of the whole leak for a tub of 400 to 600 L: insulated 3-7, wood only 10-18, bare plastic or
steel 25-45 W/K (worked out with ISO 6946 from layers that are usual; own ranges, no source).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tubcare.energy.from_profile import described_by, faces_of, tub_from
from tubcare.errors import InputError
from tubcare.services.power_build import build_catalogue
from tubcare.values import Cladding, LidKind, Liner, Shape, TubProfile

CATALOGUE = build_catalogue()


def leak_w_k(**changes: object) -> float:
    profile = replace(TubProfile(name="North", volume_l=500.0), **changes)  # type: ignore[arg-type]
    return tub_from(profile, described_by(profile), CATALOGUE).envelope.ua_w_k()


@pytest.mark.parametrize(
    ("changes", "low", "high"),
    [
        ({"liner": Liner.ALUMINIUM}, 2.5, 7.0),
        ({"liner": Liner.HDPE_PP, "cladding": Cladding.SOFTWOOD}, 3.0, 7.0),
        ({"liner": Liner.WOOD, "lid": LidKind.WOOD}, 8.0, 18.0),
        ({"liner": Liner.HDPE_PP, "lid": LidKind.SOFT}, 20.0, 45.0),
        ({"liner": Liner.STAINLESS_STEEL, "lid": LidKind.NONE}, 20.0, 45.0),
    ],
)
def test_defaults_leak_as_such_tubs_do(
    changes: dict[str, object], low: float, high: float
) -> None:
    assert low <= leak_w_k(**changes) <= high


def test_sides_that_are_not_told_follow_from_the_litres() -> None:
    faces = faces_of(TubProfile(name="North", volume_l=720.0))
    assert faces.bottom_m2 == pytest.approx(0.72 / 0.6)


def test_a_barrel_has_a_round_wall() -> None:
    barrel = TubProfile(
        name="North", shape=Shape.CYLINDER, length_m=1.0, depth_m=0.8, volume_l=628.3
    )
    faces = faces_of(barrel)
    assert faces.wall_m2 == pytest.approx(3.1416 * 1.0 * 0.8, rel=1e-3)


def test_own_layers_go_before_the_named_build_up() -> None:
    profile = TubProfile(name="North", volume_l=500.0)
    plain = described_by(profile)
    own = replace(plain, wall_layers=(("xps", 80.0), ("softwood", 20.0)))
    named = replace(plain, wall="xps_80_wood_20")
    leaks = [tub_from(profile, each, CATALOGUE).envelope.body_ua_w_k for each in (own, named)]
    assert leaks[0] == pytest.approx(leaks[1])


def test_an_unknown_material_is_refused_with_the_known_ones() -> None:
    profile = TubProfile(name="North")
    own = replace(described_by(profile), wall_layers=(("straw", 80.0),))
    with pytest.raises(InputError, match="softwood"):
        tub_from(profile, own, CATALOGUE)


def test_without_a_chiller_only_the_pump_draws() -> None:
    profile = TubProfile(name="North", pump_w=40.0)
    assert tub_from(profile, described_by(profile), CATALOGUE).resting
