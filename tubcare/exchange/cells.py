"""Tables as text, with cells that no spreadsheet takes for a formula (OWASP, CWE-1236)."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_STARTS = frozenset("=+-@\t\r\uff1d\uff0b\uff0d\uff20")
_BLANK = " \u00a0\ufeff"
_GUARD = "'"


def safe_cell(text: str) -> str:
    """Return a text cell, guarded by an apostrophe where a program could run it."""
    begin = text.lstrip(_BLANK)[:1]
    return _GUARD + text if (begin in _STARTS and begin) or text.startswith(_GUARD) else text


def plain_cell(text: str) -> str:
    """Return the text that `safe_cell` was given."""
    return text.removeprefix(_GUARD)


def table_text(rows: Iterable[Sequence[object]]) -> str:
    """Return rows as CSV with lines that end as RFC 4180 says; text cells are made safe before."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return text.getvalue()
