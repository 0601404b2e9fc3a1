"""Changes of a tub's build as a person describes it."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from tubcare.energy.chiller import Evaporator
from tubcare.energy.from_profile import Described, described_by, tub_from
from tubcare.energy.power import pull_down_h
from tubcare.energy.uncertainty import Estimate, default_spread, estimate
from tubcare.services.power_build import (
    POWER_TOPICS,
    build_catalogue,
    keep_power_plan,
    read_build,
)
from tubcare.services.power_cautions import UnitCautions, unit_cautions
from tubcare.services.power_follow import follow_change

if TYPE_CHECKING:
    from tubcare.energy.from_profile import BuildCatalogue
    from tubcare.energy.tub import Tub
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.power_build import TubBuild
    from tubcare.values import TubId

_FILL_C, _AIR_C = 12.0, 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildShown:
    """A build with what there is to choose from, and what follows from it at once.

    `leak_w_k` is the whole leak with the lid on [W K⁻¹], `lid_share` the lid's part of it [-].
    `pull_down` is the time from a fill at `fill_c` to the set point in air of `air_c` [h], [°C];
    None: never. Its upper end is infinite where a tub like this may never get there.
    """

    build: TubBuild
    usual: Described
    catalogue: BuildCatalogue
    leak_w_k: float
    lid_share: float
    pull_down: Estimate | None
    cautions: UnitCautions
    fill_c: float = _FILL_C
    air_c: float = _AIR_C


def build_shown(desk: Desk, tub: TubId | str | None) -> BuildShown:
    """Return a tub's build for its editor."""
    with desk.read() as connection:
        build = read_build(connection, tub)
    catalogue = build_catalogue()
    engine = build.tub(catalogue)
    leak = engine.envelope.ua_w_k()
    return BuildShown(
        build=build,
        usual=described_by(build.profile),
        catalogue=catalogue,
        leak_w_k=leak,
        lid_share=1.0 - engine.envelope.body_ua_w_k / leak,
        pull_down=None if engine.resting else _pull_down(engine),
        cautions=unit_cautions(),
    )


def _pull_down(engine: Tub) -> Estimate | None:
    def hours(tub: Tub) -> tuple[float, ...]:
        found = pull_down_h(tub, fill_c=_FILL_C, air_c=_AIR_C)
        return (math.inf if found is None else found,)

    if math.isinf(hours(engine)[0]):
        return None
    return estimate(engine, default_spread(), hours)[0]


def change_build(desk: Desk, tub: TubId | str | None, described: Described) -> TubPlace:
    """Keep a build; only what differs from the profile's own is kept, so that the rest follows it.

    Raises
    ------
    InputError, OutOfRangeError
        For a material, build-up or number that cannot be used.
    """
    with desk.read() as connection:
        build = read_build(connection, tub)
    tub_from(build.profile, described, build_catalogue())
    usual = described_by(build.profile)
    told = {
        each.name: _plain(getattr(described, each.name))
        for each in fields(Described)
        if getattr(described, each.name) != getattr(usual, each.name)
    }
    with desk.write("change_build", build.place.name, POWER_TOPICS) as unit:
        keep_power_plan(unit, build.place.id, build=told)
        follow_change(unit, desk, build.place.id)
    return build.place


def _plain(value: object) -> object:
    if isinstance(value, Evaporator):
        return value.value
    return [list(each) for each in value] if isinstance(value, tuple) else value
