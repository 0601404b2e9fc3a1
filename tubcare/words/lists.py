"""Several things in one phrase, joined as the language does it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech


def all_of(speech: Speech, items: Sequence[str]) -> str:
    """Return items joined by "and": A, B and C."""
    from babel.lists import format_list  # noqa: PLC0415  Babel costs 20 ms

    return format_list(items, style="standard", locale=speech.words)


def any_of(speech: Speech, items: Sequence[str]) -> str:
    """Return items joined by "or": A, B or C."""
    from babel.lists import format_list  # noqa: PLC0415  Babel costs 20 ms

    return format_list(items, style="or", locale=speech.words)
