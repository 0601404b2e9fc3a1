"""A test that is written down ticks off the task that asks for it, once, and with one undo."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select

from tests.support.dump import facts
from tubcare.care.model import TubState
from tubcare.services.history import undo
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.tubs import enter_state
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.week import this_week
from tubcare.store.tables import CompletionRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import Liner, TubId, TubProfile

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk

WHOLE = Entry(values={"ph": 7.4, "free_chlorine_mg_l": 2.0})


@pytest.fixture
def tub(desk: Desk, clock: StillClock) -> TubId:
    profile = TubProfile(name="North", zone="UTC", liner=Liner.ALUMINIUM)
    found = add_tub_with_plan(desk, profile, state=TubState.OPEN).tub
    clock.go(days=5)
    return found


def asked(desk: Desk) -> set[str]:
    week = this_week(desk)
    items = (*week.late, *week.due_today)
    titles = {task.title for item in items for task in getattr(item, "items", (item,))}
    return titles & {"Test the water", "Check the pH for the aluminium liner"}


def rows(desk: Desk, table: type) -> int:
    with desk.read() as connection:
        return len(connection.execute(select(table_of(table))).all())


def test_a_whole_test_ticks_off_the_tasks_that_ask_for_it(desk: Desk, tub: TubId) -> None:
    assert asked(desk) == {"Test the water", "Check the pH for the aluminium liner"}
    before = facts(desk.store)
    found = add_test(desk, tub, WHOLE)
    assert set(found.ticked) == {"Test the water", "Check the pH for the aluminium liner"}
    assert asked(desk) == set()
    assert rows(desk, UseRow) == 2
    undo(desk)
    assert facts(desk.store) == before


def test_a_ph_alone_is_no_whole_test(desk: Desk, tub: TubId) -> None:
    found = add_test(desk, tub, Entry(values={"ph": 7.4}))
    assert found.ticked == ("Check the pH for the aluminium liner",)


def test_a_second_test_of_a_day_ticks_nothing_again(desk: Desk, tub: TubId) -> None:
    add_test(desk, tub, WHOLE)
    assert add_test(desk, tub, WHOLE).ticked == ()
    assert rows(desk, CompletionRow) == 2


def test_the_clock_of_the_task_runs_from_the_day_of_the_test(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    yesterday = desk.today("UTC") - timedelta(days=1)
    add_test(desk, tub, Entry(values=WHOLE.values, on=yesterday))
    assert asked(desk) == set()
    clock.go(days=1)
    assert "Check the pH for the aluminium liner" in asked(desk)
    assert "Test the water" not in asked(desk)


def test_a_test_older_than_the_last_tick_changes_no_clock(desk: Desk, tub: TubId) -> None:
    add_test(desk, tub, WHOLE)
    earlier = desk.today("UTC") - timedelta(days=2)
    assert add_test(desk, tub, Entry(values=WHOLE.values, on=earlier)).ticked == ()


def test_a_closed_tub_has_nothing_to_tick(desk: Desk, tub: TubId) -> None:
    enter_state(desk, tub, TubState.CLOSED, desk.today("UTC"))
    assert add_test(desk, tub, WHOLE).ticked == ()
