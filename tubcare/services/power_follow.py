"""What follows from a change of weather, build, prices or learning, in the same use case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.power_build import read_build
from tubcare.services.power_estimates import estimates_of
from tubcare.services.power_fill import fill_tub
from tubcare.services.power_usual import refresh_usual
from tubcare.store.tables import EntryRow

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId


def follow_change(unit: Unit, desk: Desk, tub: TubId) -> None:
    """Bring usual hours and the ledger's estimates in line with what is kept about a tub now.

    As part of the change it is taken back with it.
    """
    refresh_usual(unit, read_build(unit.connection, tub))
    for each in estimates_of(unit.connection, tub):
        unit.remove(EntryRow, each.id)
    fill_tub(unit, desk, tub)
