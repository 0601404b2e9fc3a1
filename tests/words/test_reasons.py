"""What is wrong with a field is told in the person's language."""

from __future__ import annotations

from tubcare.errors import InputError
from tubcare.words.locale import speech_for
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.reasons import reason_sentence

GERMAN = speech_for({}, chosen="de_DE")
ENGLISH = speech_for({}, chosen="en_GB")


def test_a_reason_is_told_in_the_language_of_the_person() -> None:
    error = InputError("start", "lies before the last inspection")
    assert trouble(GERMAN, error).happened.endswith("liegt vor der letzten Inspektion.")
    assert reason_sentence(GERMAN, error.reason) == "Liegt vor der letzten Inspektion."
    assert reason_sentence(ENGLISH, error.reason) == "Lies before the last inspection."


def test_a_reason_with_figures_of_the_moment_stays_as_it_is() -> None:
    assert reason_sentence(GERMAN, "pH 15 is no pH.") == "pH 15 is no pH."
