"""In every language each menu and each section answers to a letter once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.audit import doubled_keys
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.store.open import open_store
from tubcare.words.locale import languages, speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

NOW = noon(2026, 5, 6)


@pytest.mark.parametrize("language", languages())
def test_no_letter_is_taken_twice(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path, language: str
) -> None:
    speech = speech_for({}, chosen=language, currency_code="EUR")
    desk = Desk(open_store(tmp_path / "a.db", NOW), StillClock(NOW), "Ann", speech.own)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    add_tub(desk, zone="UTC")
    window = make_window(
        sections=SECTIONS, speech=speech, open_logbook=lambda: OpenLogbook(desk, speech)
    )
    found = {}
    for section in SECTIONS:
        window.go(section.key)
        settle(qtbot, window)
        found[section.key] = doubled_keys(window)
    assert {key: told for key, told in found.items() if told} == {}
