"""Turns an error into what a person needs: what happened, what was not lost, what to do now."""

from __future__ import annotations

import traceback
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare import errors
from tubcare.words.sentences.reasons import reason_sentence, reason_told

if TYPE_CHECKING:
    from tubcare.desktop.work import Fault
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """An error in a person's words."""

    happened: str
    kept: str
    advice: str
    details: str

    @property
    def text(self) -> str:
        """Return what was kept and what to do, in one paragraph."""
        return " ".join(part for part in (self.kept, self.advice) if part)


def explain(fault: Fault, speech: Speech) -> Explained:
    """Return the words for any error; unknown ones are told as a mistake of the program."""
    error = fault.error
    say = speech.say
    what = fault.title or say("This")
    kept = say("Everything recorded before is kept.")
    details = "".join(traceback.format_exception(error))
    if isinstance(error, errors.StoreError):
        return Explained(
            happened=say("{what} was not possible: {why}", what=what, why=error.reason),
            kept=kept,
            advice=say("The logbook is {place}", place=error.place),
            details=details,
        )
    if isinstance(error, errors.InputError):
        field = error.field.replace("_", " ")
        return Explained(
            happened=say("{what}: please look at {field} again.", what=what, field=field),
            kept=say("Nothing was recorded, and what you typed is still there."),
            advice=reason_sentence(speech, error.reason),
            details=details,
        )
    if isinstance(error, errors.TubcareError):
        return Explained(
            happened=say(
                "{what} did not go ahead: {why}.", what=what, why=reason_told(speech, str(error))
            ),
            kept=kept,
            advice="",
            details=details,
        )
    return Explained(
        happened=say("{what} stopped because of a mistake in the program.", what=what),
        kept=say("Nothing was half recorded.") + " " + kept,
        advice=say("Try again; if it comes back, copy the details and pass them on."),
        details=details,
    )
