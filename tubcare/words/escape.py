"""Text that people wrote, made safe for places that read markup."""

from __future__ import annotations

import html
import unicodedata

# Marks that turn the direction of all that follows them, and so could disguise a text.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def as_markup(text: str) -> str:
    """Return text for rich-text widgets and PDF: shown letter by letter, line breaks kept."""
    return html.escape(visible(text)).replace("\n", "<br>")


def visible(text: str) -> str:
    """Return text without control characters that a screen cannot show; tabs are spaces."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return "".join(
        char
        for char in plain
        if char == "\n"
        or (unicodedata.category(char) not in {"Cc", "Cs"} and char not in _TURNING)
    )


def one_line(text: str, longest: int = 80) -> str:
    """Return text on one line of at most `longest` characters, cut at the end with an ellipsis."""
    plain = " ".join(visible(text).split())
    return plain if len(plain) <= longest else f"{plain[: longest - 1].rstrip()}…"
