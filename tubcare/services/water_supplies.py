"""Products, scoops and fill waters, read together for a list."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from tubcare.services.water_shelf import OwnMeasure, ShelfProduct, measures_in, products_in
from tubcare.services.water_sources import FillSource, sources_in
from tubcare.water.cautions import never_together

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterShelf:
    """All that a dosing plan may use, and the day by which strengths are told.

    `apart` names the products of which two must never meet, pair by pair.
    """

    today: date
    products: tuple[ShelfProduct, ...]
    measures: tuple[OwnMeasure, ...]
    sources: tuple[FillSource, ...]

    @property
    def apart(self) -> tuple[tuple[str, str], ...]:
        """Pairs of products that must never meet, on the shelf or in a scoop."""
        labels = [each.label for each in self.products]
        return tuple(
            (one.name, other.name)
            for one, other in combinations(labels, 2)
            if never_together(one.compound, other.compound)
        )


def water_shelf(desk: Desk) -> WaterShelf:
    """Return products, scoops and fill waters."""
    today = desk.home_today()
    with desk.read() as connection:
        return WaterShelf(
            today=today,
            products=products_in(connection),
            measures=measures_in(connection),
            sources=sources_in(connection),
        )
