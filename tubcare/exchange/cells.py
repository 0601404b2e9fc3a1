"""Text cells that no spreadsheet takes for a formula (OWASP, CWE-1236)."""

from __future__ import annotations

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
