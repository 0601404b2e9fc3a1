"""The exported plan, read by an independent library: icalendar (general purpose, RFC 5545).

The limits of lines, the escapes and the properties that an event must have are those of RFC 5545,
sections 3.1, 3.3.11 and 3.6.1, from memory.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar as Reader

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.exchange.plan_calendar import escaped, fold, plan_calendar
from tubcare.services.calendar import calendar
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.upkeep_put_off import put_off
from tubcare.services.upkeep_tick import tick_off
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.values import TaskId

NOW = noon(2026, 5, 6)
TODAY = NOW.date()
TITLE = "Swap; rinse, dry \\ the “Ö” filter — 🧊 and look after every single one of the seals"
SPEECH = speech_for({}, chosen="en_GB", currency_code="EUR")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = Desk(open_store(tmp_path / "a.db", NOW), StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    yield desk
    desk.store.close()


def written(desk: Desk) -> str:
    found = calendar(desk, TODAY, TODAY + timedelta(days=365))
    return plan_calendar(found, SPEECH, logbook="a.db", now=desk.now())


def events(text: str) -> list[tuple[str, date, str]]:
    """Return summary, day and status of each event, as the other library reads them."""
    found = Reader.from_ical(text).walk("VEVENT")
    return [(str(e["SUMMARY"]), e.decoded("DTSTART"), str(e["STATUS"])) for e in found]


def plan(desk: Desk) -> tuple[TaskId, TaskId]:
    tub = add_tub(desk, zone="UTC")
    strange = add_task(
        desk, tub, title=TITLE, triggers=[{"kind": "elapsed", "every": 5, "period": "month"}]
    )
    done = add_task(desk, tub, title="Oil the bench", starts_on=date(2026, 4, 20))
    tick_off(desk, done, f"start:{done}")
    return strange, done


def test_another_program_reads_the_same_days_titles_and_states(desk: Desk) -> None:
    plan(desk)
    found = events(written(desk))
    assert (TITLE, date(2026, 9, 1), "CONFIRMED") in found
    assert (TITLE, date(2027, 2, 1), "TENTATIVE") in found
    assert ("Oil the bench", date(2026, 6, 5), "CONFIRMED") in found
    assert ("North closes", date(2026, 11, 1), "TENTATIVE") in found
    assert not [each for each in found if each[1] <= TODAY]


def test_every_event_has_what_the_standard_asks_for(desk: Desk) -> None:
    plan(desk)
    read = Reader.from_ical(written(desk))
    assert (read["VERSION"], bool(read["PRODID"])) == ("2.0", True)
    uids = [str(e["UID"]) for e in read.walk("VEVENT")]
    assert len(set(uids)) == len(uids)
    for event in read.walk("VEVENT"):
        assert event.decoded("DTEND") - event.decoded("DTSTART") == timedelta(days=1)
        assert event.decoded("DTSTAMP") == datetime(2026, 5, 6, 12, tzinfo=UTC)


def test_a_moved_date_keeps_its_identity(desk: Desk) -> None:
    task, _done = plan(desk)
    before = uid_of(written(desk), date(2026, 9, 1))
    put_off(desk, task, f"start:{task}", date(2026, 9, 9))
    assert uid_of(written(desk), date(2026, 9, 9)) == before


def uid_of(text: str, on: date) -> str:
    read = Reader.from_ical(text).walk("VEVENT")
    return next(
        str(e["UID"]) for e in read if e.decoded("DTSTART") == on and e["SUMMARY"] == TITLE
    )


def test_lines_end_as_in_the_standard_and_are_short_enough(desk: Desk) -> None:
    plan(desk)
    text = written(desk)
    lines = text.split("\r\n")
    assert lines.pop() == ""
    assert "\n" not in "".join(lines)
    assert max(len(line.encode()) for line in lines) <= 75


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=300))
def test_any_text_comes_back_the_same(text: str) -> None:
    line = f"SUMMARY:{escaped(text)}"
    folded = "\r\n".join(fold(line))
    assert all(len(piece.encode()) <= 75 for piece in folded.split("\r\n"))
    whole = f"BEGIN:VEVENT\r\n{folded}\r\nEND:VEVENT\r\n"
    assert str(Reader.from_ical(whole)["SUMMARY"]) == text
