"""The calendar: what is open, what was done, what is foreseen, and how the tubs stand."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tubcare.care.model import Status, TubState
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.calendar import Calendar, EntryKind, Line, calendar
from tubcare.services.history import undo
from tubcare.services.measures import add_dip
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_put_off import put_off, put_off_round, skip
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

MAY = date(2026, 5, 1), date(2026, 5, 31)
JUNE = date(2026, 6, 1), date(2026, 6, 30)
WEEKLY = [{"kind": "elapsed", "every": 7, "period": "day"}]


def told(found: Calendar) -> list[tuple[int, str, str]]:
    return [(d.on.day, line.kind.value, line.status.value) for d in found.days for line in d.lines]


def line_on(found: Calendar, on: date) -> Line:
    day = found.day(on)
    assert day is not None
    return day.lines[0]


def key_of(desk: Desk, task: TaskId, first: date = MAY[0]) -> str:
    found = calendar(desk, first, MAY[1])
    return next(
        e.occurrence.key
        for d in found.days
        for line in d.lines
        for e in line.entries
        if e.task == task and e.kind is EntryKind.OPEN and e.occurrence is not None
    )


def test_one_date_is_open_and_those_after_it_are_foreseen(desk: Desk) -> None:
    add_task(desk, add_tub(desk), triggers=WEEKLY, starts_on=date(2026, 4, 24))
    found = calendar(desk, *MAY)
    assert told(found) == [
        (1, "open", "due"),
        (8, "foreseen", "coming"),
        (15, "foreseen", "coming"),
        (22, "foreseen", "coming"),
        (29, "foreseen", "coming"),
    ]
    assert found.today == date(2026, 5, 1)


def test_what_was_done_and_skipped_stands_on_its_day(desk: Desk, clock: StillClock) -> None:
    tub = add_tub(desk)
    done = add_task(desk, tub, starts_on=date(2026, 4, 1))
    dropped = add_task(desk, tub, title="Oil the bench", starts_on=date(2026, 4, 1))
    tick_off(desk, done, key_of(desk, done))
    clock.go(days=1)
    skip(desk, dropped, key_of(desk, dropped), "snowed in")
    found = calendar(desk, *MAY)
    assert told(found)[:2] == [(1, "closed", "done"), (2, "closed", "skipped")]
    entry = line_on(found, date(2026, 5, 2)).entries[0]
    assert (entry.who, entry.note, entry.occurrence) == ("Ann", "snowed in", None)


def test_what_is_late_stands_on_its_due_date_and_is_told_apart_from_before(
    desk: Desk, clock: StillClock
) -> None:
    add_task(desk, add_tub(desk))
    clock.go(days=40)
    assert line_on(calendar(desk, *MAY), MAY[0]).status is Status.OVERDUE
    june = calendar(desk, *JUNE)
    assert [line.on for line in june.before] == [date(2026, 5, 1)]
    # The one that is behind is taken as done today, 10 June.
    assert calendar(desk, date(2026, 7, 1), date(2026, 7, 31)).day(date(2026, 7, 10)) is not None
    assert told(calendar(desk, date(2026, 7, 1), date(2026, 7, 31))) == [
        (10, "foreseen", "coming")
    ]


def test_a_round_is_one_line_for_each_tub(desk: Desk) -> None:
    for name in ("North", "South"):
        tub = add_tub(desk, name=name)
        for title in ("Skim", "Wipe the rim", "Check the lid"):
            add_task(desk, tub, title=title, round_name="Sunday round")
        add_task(desk, tub, title="Test the water")
    day = calendar(desk, *MAY).day(MAY[0])
    assert day is not None
    names = [(line.name, line.entries[0].tub_name, len(line.entries)) for line in day.lines]
    assert sorted(names) == [
        ("Sunday round", "North", 3),
        ("Sunday round", "South", 3),
        ("Test the water", "North", 1),
        ("Test the water", "South", 1),
    ]


def test_one_tub_can_be_shown_alone_and_all_are_named(desk: Desk) -> None:
    north, south = add_tub(desk, name="North"), add_tub(desk, name="South")
    add_task(desk, north)
    add_task(desk, south)
    found = calendar(desk, *MAY, tub=south)
    assert {e.tub for d in found.days for line in d.lines for e in line.entries} == {south}
    assert found.tubs == ((north, "North"), (south, "South"))
    assert [now.tub_name for now in found.seasons] == ["South"]


def test_use_gives_dates_that_are_about(desk: Desk, clock: StillClock) -> None:
    tub = add_tub(desk)
    add_task(desk, tub, triggers=[{"kind": "use", "counter": "dip", "amount": 40}])
    add_dip(desk, tub, dips=30)
    clock.go(days=3)
    # 30 dips in 60 days are one in two days: the 10 that are missing take 20 days.
    found = [
        (d.on, line.about) for d in calendar(desk, *MAY).days for line in d.lines if line.about
    ]
    assert found == [(date(2026, 5, 24), True)]


def test_season_is_on_record_up_to_today_and_planned_from_then_on(desk: Desk) -> None:
    tub = add_tub(desk, opened=date(2026, 4, 20))
    april = calendar(desk, date(2026, 4, 1), date(2026, 5, 10))
    assert april.days[0].tubs == ()
    opened = april.day(date(2026, 4, 20))
    today, tomorrow = april.day(date(2026, 5, 1)), april.day(date(2026, 5, 2))
    assert opened is not None
    assert today is not None
    assert tomorrow is not None
    assert [(t.state, t.planned) for t in opened.turns] == [(TubState.OPEN, False)]
    assert [(t.is_open, t.planned) for t in today.tubs] == [(True, False)]
    assert [(t.is_open, t.planned) for t in tomorrow.tubs] == [(True, True)]
    assert april.seasons[0].since == date(2026, 4, 20)
    turn = april.seasons[0].next_turn
    assert turn is not None
    assert (turn.tub, turn.on, turn.state, turn.planned) == (
        tub,
        date(2026, 11, 1),
        TubState.CLOSED,
        True,
    )


def test_a_tub_that_stays_open_past_its_planned_closing_was_to_close_then(
    desk: Desk, clock: StillClock
) -> None:
    add_tub(desk, opened=date(2026, 4, 20))
    clock.set(date(2026, 10, 31))
    assert calendar(desk, *MAY).seasons[0].was_to_close is None
    clock.set(date(2026, 11, 25))
    assert calendar(desk, *MAY).seasons[0].was_to_close == date(2026, 11, 1)


def test_a_closing_on_record_takes_the_place_of_the_planned_one(
    desk: Desk, clock: StillClock
) -> None:
    tub = add_tub(desk)
    clock.set(date(2026, 10, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 18))
    autumn = calendar(desk, date(2026, 10, 1), date(2026, 11, 30))
    turns = [(t.on, t.state, t.planned) for d in autumn.days for t in d.turns]
    assert turns == [(date(2026, 10, 18), TubState.CLOSED, False)]
    after = autumn.day(date(2026, 10, 19))
    assert after is not None
    assert [t.is_open for t in after.tubs] == [False]


def test_a_moved_date_stands_on_its_new_day_and_undo_brings_it_back(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    before = facts(desk.store)
    put_off(desk, task, key_of(desk, task), date(2026, 5, 9))
    found = calendar(desk, *MAY)
    assert [(day, kind) for day, kind, _ in told(found)] == [(9, "open")]
    undo(desk)
    assert facts(desk.store) == before


def test_a_coming_date_may_move_earlier_but_not_to_today(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk), starts_on=date(2026, 4, 10))
    put_off(desk, task, key_of(desk, task), date(2026, 5, 2))
    assert told(calendar(desk, *MAY))[0] == (2, "open", "coming")
    with pytest.raises(InputError, match="choose a date after 2026-05-01"):
        put_off(desk, task, key_of(desk, task), date(2026, 5, 1))


def test_a_round_moves_whole_or_not_at_all_and_undo_takes_back_the_whole(desk: Desk) -> None:
    tub = add_tub(desk)
    tasks = [add_task(desk, tub, title=t, round_name="Sunday round") for t in ("Skim", "Wipe")]
    items = [(task, key_of(desk, task)) for task in tasks]
    before = facts(desk.store)
    with pytest.raises(InputError):
        put_off_round(desk, "Sunday round", items, date(2026, 4, 30))
    assert facts(desk.store) == before
    put_off_round(desk, "Sunday round", items, date(2026, 5, 3))
    assert len(line_on(calendar(desk, *MAY), date(2026, 5, 3)).entries) == 2
    undo(desk)
    assert facts(desk.store) == before


def test_spans_without_a_day_or_longer_than_a_year_are_refused(desk: Desk) -> None:
    for first, last in ((MAY[1], MAY[0]), (MAY[0], date(2027, 12, 31))):
        with pytest.raises(OutOfRangeError, match="date range"):
            calendar(desk, first, last)
