"""How the window speaks: the words for one logbook."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from tubcare.services.desk import setting
from tubcare.services.household import CURRENCY
from tubcare.words.locale import Speech, speech_for

if TYPE_CHECKING:
    from tubcare.services.desk import Desk


def speech_of(desk: Desk) -> Speech:
    """Return the speech for an open logbook; call it in the logbook's thread."""
    with desk.read() as connection:
        code = setting(connection, CURRENCY)
    return speech_for(os.environ, currency_code=code or "EUR")
