"""The reasons that errors give, with their dates as a person writes them."""

from __future__ import annotations

import re
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from tubcare.words.dates import medium_date

if TYPE_CHECKING:
    from tubcare.words.locale import Speech

_DATES = re.compile(r"“[^”]*”|'[^']*'|such as \S+|\b(?P<day>\d{4}-\d\d-\d\d)\b")


def reason_told(speech: Speech, reason: str) -> str:
    """Return what is wrong with a field in the person's language, to be put into a sentence.

    A reason that names figures of the moment is English in every language.
    """
    return dates_told(speech, speech.own(reason)).rstrip(".")


def reason_sentence(speech: Speech, reason: str) -> str:
    """Return what is wrong with a field as a sentence of its own."""
    told = reason_told(speech, reason)
    # “pH” keeps its small letter.
    if not told[1:2].isupper():
        told = f"{told[:1].upper()}{told[1:]}"
    return f"{told}."


def dates_told(speech: Speech, reason: str) -> str:
    """Return a reason with its dates as a person writes them: 21 Apr 2026.

    What stands in quotation marks is somebody's own, and an example shows how to type a date.
    """
    return _DATES.sub(partial(_date_told, speech), reason)


def _date_told(speech: Speech, found: re.Match[str]) -> str:
    written = found["day"]
    if written is None:
        return found[0]
    try:
        return medium_date(speech, date.fromisoformat(written))
    except ValueError:
        return written
