"""The cautions that go with the power of a tub: electricity, cold water, refrigerant, frost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.energy.build_data import Topic, read_cautions
from tubcare.energy.chiller import evaporator_cautions
from tubcare.resource_files import read_text
from tubcare.services.power_build import build_catalogue, read_build

if TYPE_CHECKING:
    from tubcare.energy.build_data import Caution
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def power_cautions(desk: Desk, tub: TubId | str | None = None) -> tuple[Caution, ...]:
    """Return every caution that concerns a tub; of those on evaporators only its own kind's."""
    with desk.read() as connection:
        build = read_build(connection, tub)
    own = evaporator_cautions(build.tub(build_catalogue()).chiller)
    known = read_cautions(read_text("energy/cautions.toml"))
    return tuple(each for each in known if each.topic is not Topic.EVAPORATOR or each.key in own)
