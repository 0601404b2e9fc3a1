"""What the screen of this week has done with the logbook, one row at a time."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.care.terms import Category
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.week_model import WeekShown
from tubcare.services.measures import add_dip
from tubcare.services.upkeep_put_off import put_off, put_off_round
from tubcare.services.upkeep_tick import tick_off, tick_round
from tubcare.services.week import DueItem, this_week
from tubcare.words.dates import first_weekday

if TYPE_CHECKING:
    from tubcare.desktop.week_model import Row
    from tubcare.services.desk import Desk
    from tubcare.services.upkeep_model import Ticked
    from tubcare.values import TubId
    from tubcare.words.locale import Speech


def water_of(row: Row | None) -> TubId | None:
    """Return the tub whose water a row is about, None where it is about something else."""
    items = () if row is None else (row,) if isinstance(row, DueItem) else row.items
    return next((each.tub for each in items if each.category is Category.WATER), None)


def key_of(row: Row) -> object:
    """Return what tells a row from others, also after it was read anew."""
    return row.task if isinstance(row, DueItem) else (row.name, row.tub_name)


def read_week(desk: Desk, said_in: Speech) -> WeekShown:
    """Return the week, in the words of the logbook."""
    speech = speech_of(desk, said_in)
    return WeekShown(week=this_week(desk, first_weekday=first_weekday(speech)), speech=speech)


def tick_row(desk: Desk, row: Row) -> tuple[Ticked, ...]:
    """Tick a task off, or all of a round."""
    if isinstance(row, DueItem):
        return (tick_off(desk, row.task, row.occurrence.key),)
    keys = [(item.task, item.occurrence.key) for item in row.items]
    return tick_round(desk, row.name, keys)


def put_off_row(desk: Desk, row: Row) -> tuple[Ticked, ...]:
    """Move a task, or all of a round, to the day after the latest of it."""
    items = (row,) if isinstance(row, DueItem) else row.items
    to = max(max(item.today, item.occurrence.due_on) for item in items) + timedelta(days=1)
    keys = [(item.task, item.occurrence.key) for item in items]
    if isinstance(row, DueItem):
        return (put_off(desk, row.task, row.occurrence.key, to),)
    return put_off_round(desk, row.name, keys, to)


def one_dip(desk: Desk, row: Row | None) -> str:
    """Write down a dip in the tub of a row, and return its name."""
    if row is None:
        return add_dip(desk).name
    tub = row.tub if isinstance(row, DueItem) else row.items[0].tub
    return add_dip(desk, tub).name
