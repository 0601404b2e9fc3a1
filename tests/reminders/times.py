"""Moments on the wall clock of the household."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tests.support.plans import add_task
from tubcare.services.facts import read_plan
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.week import due_items

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.reminders.screens import Screen
    from tests.support.clocks import StillClock
    from tubcare.reminders.post import Post
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId, TubId

HOME = ZoneInfo("Europe/Helsinki")
FRIDAY = date(2026, 5, 8)
SATURDAY = date(2026, 5, 9)
SUNDAY = date(2026, 5, 10)
MONDAY = date(2026, 5, 11)


def at(clock: StillClock, day: date, hour: int, minute: int = 0) -> None:
    """Set the clock to a time of day at home."""
    local = datetime(day.year, day.month, day.day, hour, minute, tzinfo=HOME)
    clock.at = local.astimezone(UTC)


def once(
    desk: Desk,
    tub: TubId,
    on: date,
    title: str = "Oil the cladding",
    rules: Mapping[str, Any] | None = None,
) -> TaskId:
    """Add a task for one date."""
    trigger = {"kind": "once", "on": on.isoformat()}
    return add_task(desk, tub, title=title, triggers=[trigger], **(rules or {}))


def tick(desk: Desk, task: TaskId) -> None:
    """Tick off the open occurrence of a task."""
    with desk.read() as connection:
        plan = read_plan(connection, desk.now())
    item = next(i for i in due_items(desk, plan) if i.task == task)
    tick_off(desk, task, item.occurrence.key)


def looked(post: Post, screen: Screen) -> list[list[str]]:
    """Look once; return the steps of each note."""
    post.look()
    return screen.steps()
