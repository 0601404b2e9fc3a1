"""The test kit of a tub, and the fill water that it usually gets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.services import water_statements as ask
from tubcare.services.measures import tub_named
from tubcare.services.ranges import profile_in
from tubcare.services.topics import Topic
from tubcare.store.tables import WaterKitRow
from tubcare.store.unit import table_of
from tubcare.water.kit import kit_from_data, kit_to_data, usual_kit
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId
    from tubcare.water.kit import Kit

KIT_TOPICS = frozenset({Topic.MEASURES, Topic.TUBS})


def kit_in(connection: Connection, tub: TubId) -> Kit:
    """Return the kit of a tub: the person's own, else the usual one for its profile."""
    table = table_of(WaterKitRow)
    data = connection.execute(select(table.c.kit).where(table.c.tub_id == tub)).scalar()
    if data:
        return kit_from_data(data)
    return usual_kit(profile_in(connection, tub))


def tub_kit(desk: Desk, tub: TubId | str | None) -> Kit:
    """Return the kit of a tub."""
    with desk.read() as connection:
        return kit_in(connection, tub_named(connection, tub).id)


def change_kit(desk: Desk, tub: TubId | str | None, kit: Kit) -> None:
    """Keep what a tub's kit shows, its units and the steps of its strips."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
    with desk.write("change_kit", place.name, KIT_TOPICS) as unit:
        put_kit(unit, place.id, kit=kit_to_data(kit))


def put_kit(unit: Unit, tub: TubId, **values: object) -> None:
    """Write columns of a tub's kit inside a running use case."""
    table = table_of(WaterKitRow)
    found = unit.connection.execute(select(table.c.id).where(table.c.tub_id == tub)).scalar()
    if found is None:
        unit.add(WaterKitRow, tub_id=tub, **({"kit": {}} | values))
    else:
        unit.change(WaterKitRow, found, **values)


def fill_test_in(connection: Connection, tub: TubId) -> WaterTest | None:
    """Return the stored test of the tub's fill water: the chosen source, else the only one."""
    chosen = connection.execute(ask.CHOSEN_FILL, {"of": tub}).scalar()
    if chosen is None:
        known = connection.execute(ask.FILLS).scalars().all()
        chosen = known[0] if len(known) == 1 else None
    return None if chosen is None else WaterTest(**chosen)
