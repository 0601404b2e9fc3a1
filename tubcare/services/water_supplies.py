"""Products, scoops and fill waters, read together for a list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.services.water_shelf import OwnMeasure, ShelfProduct, measures_in, products_in
from tubcare.services.water_sources import FillSource, sources_in

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterShelf:
    """All that a dosing plan may use, and the day by which strengths are told."""

    today: date
    products: tuple[ShelfProduct, ...]
    measures: tuple[OwnMeasure, ...]
    sources: tuple[FillSource, ...]


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
