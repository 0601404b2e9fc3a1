"""Takes apart the text of a table: which sign parts the columns, where the names stand."""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import dataclass

from tubcare.errors import InputError

_DELIMITERS = (",", ";", "\t", "|")
_FIGURE = re.compile(r"[-+]?\.?\d[\d.,:/+\- TZ]*(?:[eE][-+]?\d+)?|nan", re.IGNORECASE)
_ROWS_LOOKED_AT = 60
_MOST_ROWS = 60 * 366 * 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Names of the columns, the rows below them, and how numbers are written.

    `first_line` is the number of the first row's line in the text, counted from 1.
    """

    names: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    first_line: int
    decimal_comma: bool

    def column(self, name: str) -> int:
        """Return the number of a column. [-], from 0.

        Raises
        ------
        InputError
            If there is no such column.
        """
        if name not in self.names:
            raise InputError("column", f"there is no column “{name}”; there are {self.names}")
        return self.names.index(name)

    def number(self, text: str) -> float:
        """Return a number as written, in its own unit; NaN when the cell holds none."""
        cell = text.strip().strip('"')
        if self.decimal_comma:
            cell = cell.replace(",", ".")
        try:
            value = float(cell)
        except ValueError:
            return math.nan
        return value if math.isfinite(value) else math.nan


def read_table(text: str, *, names_line: int | None = None) -> Table:
    """Return the table in `text`.

    Parameters
    ----------
    text
        As exported; columns parted by comma, semicolon, tab, bar or spaces.
    names_line
        Line that holds the names [-], 1..lines; 0 when no line does (then they are called c0, c1
        and so on, and every line is a row); found when None

    Raises
    ------
    InputError
        If no table can be made out, or it is longer than 60 years of hours.

    References
    ----------
    RFC 4180 for quoted cells; the rest is our own choice.
    """
    lines = text.lstrip("\ufeff").splitlines()
    if not any(line.strip() for line in lines):
        raise InputError("text", "the file is empty")
    if len(lines) > _MOST_ROWS:
        raise InputError("text", f"has {len(lines)} lines; more than 60 years of hours")
    delimiter = _delimiter(lines)
    cells = _cells(lines, delimiter)
    at = _names_at(cells) if names_line is None else names_line - 1
    width = len(cells[at]) if at >= 0 else max(len(row) for row in cells)
    names = cells[at] if at >= 0 else tuple(f"c{n}" for n in range(width))
    body = cells[at + 1 :]
    kept = tuple(row for row in body if any(cell.strip() for cell in row))
    if not kept:
        raise InputError("text", "there are no rows below the names of the columns")
    comma = delimiter != "," and any("," in cell for row in kept[:_ROWS_LOOKED_AT] for cell in row)
    return Table(
        names=tuple(name.strip().strip('"') for name in names),
        rows=kept,
        first_line=at + 2,
        decimal_comma=comma,
    )


def _delimiter(lines: list[str]) -> str | None:
    """Return the sign that parts most rows into the same number of columns; None: spaces."""
    looked_at = [line for line in lines[:_ROWS_LOOKED_AT] if line.strip()]
    best, most = None, 0
    for sign in _DELIMITERS:
        counts = [line.count(sign) for line in looked_at]
        usual = max(set(counts), key=counts.count)
        agreeing = counts.count(usual) if usual else 0
        # A semicolon beats a comma that only parts decimals, by being in every row alike.
        if agreeing > most or (agreeing == most and agreeing and sign == ";"):
            best, most = sign, agreeing
    return best if most * 2 > len(looked_at) else None


def _cells(lines: list[str], delimiter: str | None) -> list[tuple[str, ...]]:
    if delimiter is None:
        return [tuple(line.split()) for line in lines]
    rows = csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter)
    return [tuple(row) for row in rows]


def _is_figure(cell: str) -> bool:
    """Return whether a cell holds a number, a date or a time of day, and so names nothing."""
    return _FIGURE.fullmatch(cell.strip().strip('"')) is not None


def _names_at(cells: list[tuple[str, ...]]) -> int:
    """Return the row of names: the last one of words as wide as the numbers that follow."""
    widths = [len(row) for row in cells[:_ROWS_LOOKED_AT]]
    usual = max(set(widths), key=widths.count)
    found = -1
    for number, row in enumerate(cells[:_ROWS_LOOKED_AT]):
        if len(row) != usual:
            continue
        figures = sum(_is_figure(cell) for cell in row)
        if figures * 3 >= len(row):
            break
        found = number
    return found
