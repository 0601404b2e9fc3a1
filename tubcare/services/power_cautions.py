"""The cautions that go with the power of a tub: electricity, cold water, refrigerant, frost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.build_data import Topic, read_cautions
from tubcare.energy.chiller import LOWEST_AMBIENT, Chiller, Evaporator, evaporator_cautions
from tubcare.resource_files import read_text
from tubcare.services.power_build import build_catalogue, read_build

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.energy.build_data import Caution
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCautions:
    """Texts to show beside a unit: by its kind of evaporator, and beside its lowest ambient."""

    by_kind: Mapping[Evaporator, tuple[str, ...]]
    lowest_ambient: str


def unit_cautions() -> UnitCautions:
    """Return the cautions that go with a unit, for whoever describes it."""
    texts = {each.key: each.text for each in _known() if each.topic is Topic.EVAPORATOR}
    return UnitCautions(
        by_kind={
            kind: tuple(
                texts[key]
                for key in evaporator_cautions(Chiller(evaporator=kind, cooling_w=0.0))
                if key in texts
            )
            for kind in Evaporator
        },
        lowest_ambient=texts[LOWEST_AMBIENT],
    )


def power_cautions(desk: Desk, tub: TubId | str | None = None) -> tuple[Caution, ...]:
    """Return every caution that concerns a tub; of those on evaporators only its own kind's."""
    with desk.read() as connection:
        build = read_build(connection, tub)
    own = evaporator_cautions(build.tub(build_catalogue()).chiller)
    return tuple(
        each for each in _known() if each.topic is not Topic.EVAPORATOR or each.key in own
    )


def _known() -> tuple[Caution, ...]:
    return read_cautions(read_text("energy/cautions.toml"))
