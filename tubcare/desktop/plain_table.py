"""A table of texts, for the screen and for paper alike."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainTable:
    """A table of texts: the first column names the row, all others hold figures.

    Where `has_sum`, the last row is the sum of the others.
    """

    key: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    has_sum: bool = True


def without_empty(table: PlainTable) -> PlainTable:
    """Leave out columns in which no row has anything, such as a budget that nobody set."""
    full = [place for place in range(len(table.heads)) if any(row[place] for row in table.rows)]
    return replace(
        table,
        heads=tuple(table.heads[place] for place in full),
        rows=tuple(tuple(row[place] for place in full) for row in table.rows),
    )
