"""What went into the water of a tub: doses by their labels, and fresh water."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services import water_statements as ask
from tubcare.services.water_shelf import products_in
from tubcare.water.carried import Added, Freshened

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.values import TubId


def went_in(
    connection: Connection, tub: TubId, volume_l: float, *, since: datetime, until: datetime
) -> list[Added | Freshened]:
    """Return what went in between two instants; a product without a label tells nothing."""
    asked = {"of": tub, "since": since, "until": until}
    found: list[Added | Freshened] = [
        Freshened(at=row.at, share=min(1.0, row.litres / volume_l))
        for row in connection.execute(ask.FRESHENED, asked)
    ]
    doses = connection.execute(ask.DOSED, asked).all()
    if not doses:
        return found
    labels = {each.supply: each.label for each in products_in(connection)}
    for row in doses:
        label = labels.get(row.supply_id)
        if label is not None:
            mmol_l = label.mmol_l(row.amount, volume_l)
            found.append(Added(at=row.at, effect=label.effect, mmol_l=mmol_l))
    return found
