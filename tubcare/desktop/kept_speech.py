"""What this computer was told to use: language, formats, units, person; else the system's."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tubcare.words.locale import Speech, Units, speech_for

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.keeping import Keeping

LOCALE: Final = "speech/locale"
UNITS: Final = "speech/units"
PERSON: Final = "person/name"
AS_SYSTEM: Final = ""


def kept_speech(keeping: Keeping, environment: Mapping[str, str]) -> Speech:
    """Return the speech that was chosen on this computer, as far as anything was."""
    units = keeping.text(UNITS)
    return speech_for(
        environment,
        chosen=keeping.text(LOCALE),
        units=Units(units) if units in set(Units) else None,
    )
