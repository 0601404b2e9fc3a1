"""What each money fact adds to a run of days, in both views."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import and_, or_, select

from tubcare.ledger.contributions import ViewAmounts, contributions_between, used_days
from tubcare.services.totals_cache import fact_of
from tubcare.store.tables import EntryRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.store.journal import Image


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A row of `table` and what it adds on the days that were asked for."""

    table: str
    image: Image
    amounts: ViewAmounts


def shares_between(connection: Connection, first: date, last: date) -> Iterator[Share]:
    """Yield what each entry and each use adds on the days first..last, both counted."""
    entry, use = table_of(EntryRow), table_of(UseRow)
    inside = and_(entry.c.on_date >= first, entry.c.on_date <= last)
    lasting = and_(
        entry.c.kind.in_(("power", "build", "refund")),
        or_(
            and_(entry.c.kind == "power", entry.c.on_date >= first, entry.c.from_date <= last),
            and_(entry.c.kind != "power", entry.c.on_date <= last),
        ),
    )
    found = connection.execute(select(entry).where(or_(inside, lasting))).mappings().all()
    images = [(entry.name, dict(row)) for row in found]
    left = connection.execute(
        select(use).where(use.c.on_date >= first, use.c.on_date <= last)
    ).mappings()
    images += [(use.name, dict(row)) for row in left]
    for table, image in images:
        fact = fact_of(connection, table, image)
        begins, ends = used_days(fact)
        if begins <= last and ends >= first:
            amounts = contributions_between(fact, first, last)
            yield Share(table=table, image=image, amounts=amounts)
