"""What a unit of work changed, row by row, so that it can be taken back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Date

from tubcare.store.tables.base import Instant

if TYPE_CHECKING:
    from sqlalchemy import Table

Image = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One row before and after; None before means added, None after means removed."""

    table: str
    row_id: int
    before: Image | None
    after: Image | None

    def inverse(self) -> Change:
        """Return the change that takes this one back."""
        return Change(table=self.table, row_id=self.row_id, before=self.after, after=self.before)

    def to_data(self) -> list[Any]:
        """Return the change as plain data for JSON."""
        return [self.table, self.row_id, _plain(self.before), _plain(self.after)]


def change_from_data(data: list[Any], tables: dict[str, Table]) -> Change:
    """Return the change that `Change.to_data` wrote."""
    name, row_id, before, after = data
    table = tables[name]
    return Change(
        table=name, row_id=row_id, before=_typed(before, table), after=_typed(after, table)
    )


def _plain(image: Image | None) -> Image | None:
    if image is None:
        return None
    return {k: v.isoformat() if isinstance(v, date) else v for k, v in image.items()}


def _typed(image: Image | None, table: Table) -> Image | None:
    if image is None:
        return None
    typed: Image = {}
    for name, value in image.items():
        kind = table.c[name].type
        if isinstance(value, str) and isinstance(kind, Instant):
            typed[name] = datetime.fromisoformat(value).astimezone(UTC)
        elif isinstance(value, str) and isinstance(kind, Date):
            typed[name] = date.fromisoformat(value)
        else:
            typed[name] = value
    return typed
