"""Fill waters (tap, well, rain) with their stored tests, and which of them a tub gets."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.services import fields
from tubcare.services.measures import tub_named
from tubcare.services.named_rows import put_row, row_named
from tubcare.services.topics import Topic
from tubcare.services.water_kit import KIT_TOPICS, put_kit
from tubcare.store.tables import WaterSourceRow
from tubcare.store.unit import table_of
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.values import TubId

SOURCE_TOPICS = frozenset({Topic.STOCK, *KIT_TOPICS})


@dataclass(frozen=True, slots=True, kw_only=True)
class FillSource:
    """Fill water of one source with its stored test."""

    id: int
    name: str
    tested_on: date
    test: WaterTest


def put_source(desk: Desk, name: str, test: WaterTest, *, tested_on: date) -> None:
    """Keep the test of a fill water (tap, well, rain)."""
    checked = fields.required_name("source", name)
    fields.not_after("tested_on", tested_on, desk.home_today())
    with desk.write("put_source", checked, SOURCE_TOPICS) as unit:
        values = {"tested_on": tested_on, "test": asdict(test)}
        put_row(unit, WaterSourceRow, "name", checked, values)


def drop_source(desk: Desk, name: str) -> None:
    """Take a fill water away; raise `NotFoundError` when there is none of that name."""
    with desk.write("drop_source", name, SOURCE_TOPICS) as unit:
        unit.remove(WaterSourceRow, row_named(unit.connection, WaterSourceRow, "source", name))


def choose_source(desk: Desk, tub: TubId | str | None, name: str) -> None:
    """Say which fill water a tub gets."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        source = row_named(connection, WaterSourceRow, "source", name)
    with desk.write("change_kit", place.name, KIT_TOPICS) as unit:
        put_kit(unit, place.id, source_id=source)


def sources_in(connection: Connection) -> tuple[FillSource, ...]:
    """Return the fill waters by name."""
    table = table_of(WaterSourceRow)
    return tuple(
        FillSource(id=row.id, name=row.name, tested_on=row.tested_on, test=WaterTest(**row.test))
        for row in connection.execute(select(table).order_by(table.c.name))
    )
