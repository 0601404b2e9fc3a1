"""The build of a tub as a person described it, on top of what its profile stands for."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.profile import profile_from_data
from tubcare.energy.build_data import read_build_ups, read_materials
from tubcare.energy.chiller import Evaporator
from tubcare.energy.from_profile import BuildCatalogue, Described, described_by, tub_from
from tubcare.resource_files import read_text
from tubcare.services.measures import tub_named
from tubcare.services.topics import Topic
from tubcare.store.tables import PowerPlanRow, TubRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.energy.tub import Tub
    from tubcare.services.measures import TubPlace
    from tubcare.store.unit import Unit
    from tubcare.values import TubId, TubProfile

POWER_TOPICS = frozenset({Topic.MEASURES, Topic.MONEY, Topic.UPKEEP, Topic.TUBS})
_LAYERS = frozenset({"wall_layers", "lid_layers"})


@dataclass(frozen=True, slots=True, kw_only=True)
class TubBuild:
    """A tub with its profile, the build that holds for it, and which parts a person told."""

    place: TubPlace
    profile: TubProfile
    described: Described
    told: frozenset[str]

    def tub(self, catalogue: BuildCatalogue) -> Tub:
        """Return the tub as the energy engine sees it."""
        return tub_from(self.profile, self.described, catalogue)


def build_catalogue() -> BuildCatalogue:
    """Return the materials and build-ups that come with the program."""
    materials = read_materials(read_text("energy/materials.toml"))
    return BuildCatalogue(
        materials=materials,
        build_ups=read_build_ups(read_text("energy/build_ups.toml"), materials),
    )


def read_build(connection: Connection, tub: TubId | str | None) -> TubBuild:
    """Return the build of a tub.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    place = tub_named(connection, tub)
    table = table_of(TubRow)
    data = connection.execute(select(table.c.profile).where(table.c.id == place.id)).scalar_one()
    profile = profile_from_data(data)
    told = power_plan(connection, place.id).get("build", {})
    return TubBuild(
        place=place,
        profile=profile,
        described=replace(described_by(profile), **_values(told)),
        told=frozenset(told),
    )


def power_plan(connection: Connection, tub: TubId) -> dict[str, Any]:
    """Return what is kept about a tub's power: build, tariff, drift, usual; empty when nothing."""
    table = table_of(PowerPlanRow)
    row = connection.execute(select(table).where(table.c.tub_id == tub)).mappings().first()
    return {} if row is None else dict(row)


def keep_power_plan(unit: Unit, tub: TubId, **parts: Mapping[str, Any]) -> None:
    """Keep parts of a tub's power plan inside a running use case; the others stay."""
    found = power_plan(unit.connection, tub)
    if found:
        unit.change(PowerPlanRow, found["id"], **parts)
    else:
        empty: dict[str, Mapping[str, Any]] = {"build": {}, "tariff": {}, "drift": {}, "usual": {}}
        unit.add(PowerPlanRow, tub_id=tub, **(empty | parts))


def _values(told: Mapping[str, Any]) -> dict[str, Any]:
    known = {each.name for each in fields(Described)}
    return {name: _typed(name, value) for name, value in told.items() if name in known}


def _typed(name: str, value: Any) -> object:  # noqa: ANN401  as JSON gave it
    if name in _LAYERS:
        return tuple((str(material), float(mm)) for material, mm in value)
    return Evaporator(value) if name == "evaporator" else value
