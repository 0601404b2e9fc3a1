"""Caches that are written in the same transaction as the facts they follow from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.power_estimates import settle_changed
from tubcare.services.stock_cache import refresh_stock
from tubcare.services.totals_cache import refresh_totals

if TYPE_CHECKING:
    from tubcare.store.unit import Unit


def refresh_caches(unit: Unit) -> None:
    """Bring estimates, stock, costs and month totals in line with what the unit changed."""
    settle_changed(unit)
    refresh_totals(unit, refresh_stock(unit))
