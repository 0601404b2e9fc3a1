from __future__ import annotations

import pytest

from tubcare.words.locale import speech_for
from tubcare.words.sentences.waits import wait_text


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (0.5, "wait 30 minutes after the step before"),
        (1, "wait 1 hour after the step before"),
        (1.5, "wait 1.5 hours after the step before"),
        (48, "wait 48 hours after the step before"),
    ],
)
def test_a_wait_is_told_in_the_unit_that_people_count_in(hours: float, told: str) -> None:
    assert wait_text(speech_for({}, chosen="en_GB"), hours) == told
