"""Fields that keep what they were filled with, and days of the year, in several locales."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from PySide6.QtTest import QTest

from tubcare.desktop.keeper import Voice
from tubcare.desktop.kept_entry import KeptQuantity, MonthDayEntry
from tubcare.errors import InputError
from tubcare.values import MonthDay
from tubcare.words.locale import Units, speech_for
from tubcare.words.quantities import Unit

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

LOCALES = ("en_GB", "en_US", "de_DE", "de_CH", "fi_FI", "en_CA")


def voice(tag: str) -> Voice:
    return Voice(speech_for({}, chosen=tag, currency_code="EUR"))


def test_a_quantity_that_nobody_touched_reads_as_it_was_filled(qtbot: QtBot) -> None:
    american = Voice(voice("en_US").speech.with_units(Units.US))
    field = KeptQuantity("volume_l", american, Unit.LITRE)
    qtbot.addWidget(field)
    field.fill(400.0)
    assert field.text() == "105.7"
    assert field.quantity() == 400.0
    field.clear()
    QTest.keyClicks(field, "100")
    # 1 US gallon is 3.785411784 l (NIST Handbook 44, appendix C).
    assert field.quantity() == pytest.approx(378.5411784)


@pytest.mark.parametrize("tag", LOCALES)
def test_every_day_of_the_year_is_read_back_as_it_is_shown(qtbot: QtBot, tag: str) -> None:
    field = MonthDayEntry("season_opens", voice(tag))
    qtbot.addWidget(field)
    for number in range(0, 366, 5):
        day = date(2028, 1, 1) + timedelta(days=number)
        wanted = MonthDay(month=day.month, day=day.day)
        field.fill(wanted)
        assert field.month_day() == wanted


def test_a_day_with_a_year_is_refused(qtbot: QtBot) -> None:
    field = MonthDayEntry("season_opens", voice("en_GB"))
    qtbot.addWidget(field)
    field.setText("15 Apr 2026")
    with pytest.raises(InputError, match="day and month"):
        field.month_day()
