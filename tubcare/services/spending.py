"""Which kind of spending a task's usual cost belongs to."""

from __future__ import annotations

from tubcare.care.model import Category
from tubcare.ledger.categories import SpendCategory

_OF: dict[Category, SpendCategory] = {
    Category.WATER: SpendCategory.CHEMICALS,
    Category.FILTER: SpendCategory.FILTERS,
    Category.PUMP: SpendCategory.PARTS,
    Category.CHILLER: SpendCategory.REPAIRS,
    Category.LINES: SpendCategory.PARTS,
    Category.LINER: SpendCategory.REPAIRS,
    Category.LID: SpendCategory.PARTS,
    Category.WOOD: SpendCategory.WOOD_CARE,
    Category.INSTRUMENTS: SpendCategory.TESTING,
    Category.CHEMICAL_STORE: SpendCategory.CHEMICALS,
    Category.METERING: SpendCategory.POWER,
}


def spend_category(category: Category) -> SpendCategory:
    """Return the kind of spending that a task of this category usually is."""
    return _OF.get(category, SpendCategory.OTHER)
