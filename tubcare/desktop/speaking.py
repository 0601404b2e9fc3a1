"""How the window speaks: the words for one logbook."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.desk import setting
from tubcare.services.household import CURRENCY

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech


def speech_of(desk: Desk, speech: Speech) -> Speech:
    """Return the window's speech with the logbook's currency; call it in the logbook's thread."""
    with desk.read() as connection:
        code = setting(connection, CURRENCY)
    return speech.with_currency(code or "EUR")
