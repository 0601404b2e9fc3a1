"""What a category may cost in a year."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.money import MAX_MINOR
from tubcare.services import fields
from tubcare.services.topics import Topic
from tubcare.store.tables import BudgetRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit


def budgets(desk: Desk, year: int) -> dict[SpendCategory, int]:
    """Return the budget of each category that has one in a year, in minor units."""
    table = table_of(BudgetRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table.c.category, table.c.minor).where(table.c.year == year)
        ).all()
    return {SpendCategory(row.category): row.minor for row in rows}


def set_budgets(desk: Desk, year: int, wanted: Mapping[SpendCategory, int | None]) -> None:
    """Keep what categories may cost in one year; see `set_budgets_of_years`."""
    set_budgets_of_years(desk, {year: wanted})


def set_budgets_of_years(
    desk: Desk, wanted: Mapping[int, Mapping[SpendCategory, int | None]]
) -> None:
    """Keep what categories may cost in some years; None takes a budget away, others stay.

    Raises
    ------
    OutOfRangeError
        For a year that cannot be meant, a negative or an absurd amount.
    """
    for year, by_category in wanted.items():
        fields.quantity("year", year, fields.FIRST_DAY.year, fields.LAST_DAY.year)
        for minor in by_category.values():
            if minor is not None:
                fields.quantity("minor", minor, 0, MAX_MINOR)
    years = ", ".join(str(year) for year in sorted(wanted))
    with desk.write("set_budget", years, frozenset({Topic.MONEY})) as unit:
        for year, by_category in wanted.items():
            for category, minor in by_category.items():
                _keep(unit, year, category, minor)


def _keep(unit: Unit, year: int, category: SpendCategory, minor: int | None) -> None:
    table = table_of(BudgetRow)
    known = unit.connection.execute(
        select(table.c.id).where(table.c.year == year, table.c.category == category.value)
    ).scalar()
    if known is not None and minor is None:
        unit.remove(BudgetRow, known)
    elif known is not None:
        unit.change(BudgetRow, known, minor=minor)
    elif minor is not None:
        unit.add(BudgetRow, year=year, category=category.value, minor=minor)
