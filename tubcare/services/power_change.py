"""Changes of a tub's build as a person describes it."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from tubcare.energy.chiller import Evaporator
from tubcare.energy.from_profile import Described, described_by, tub_from
from tubcare.services.power_build import (
    POWER_TOPICS,
    build_catalogue,
    keep_power_plan,
    read_build,
)
from tubcare.services.power_usual import refresh_usual

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId


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
        refresh_usual(unit, build)
    return build.place


def _plain(value: object) -> object:
    if isinstance(value, Evaporator):
        return value.value
    return [list(each) for each in value] if isinstance(value, tuple) else value
