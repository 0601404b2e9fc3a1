"""The columns of the care plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.marks import MARKS, state_word
from tubcare.desktop.table import Column
from tubcare.words.dates import medium_date

if TYPE_CHECKING:
    from tubcare.desktop.marks import Mark
    from tubcare.desktop.screen import Context
    from tubcare.services.tasks import TaskLine


def task_columns(context: Context) -> tuple[Column[TaskLine], ...]:
    """Return title, tub, state and next date of each task."""
    say = context.say
    told = _Told(context)
    return (
        Column(key="title", title=say("Task"), text=_title, sort=_title, stretch=True),
        Column(key="tub", title=say("Tub"), text=_tub, sort=_tub),
        Column(key="state", title=say("State"), text=told.state, mark=_mark, sort=told.state),
        Column(key="next", title=say("Next"), text=told.next_due, sort=_next_key),
    )


def identity(line: TaskLine) -> int:
    """Return what makes a line the same after a refresh."""
    return line.id


class _Told:
    def __init__(self, context: Context) -> None:
        self._context = context

    def next_due(self, line: TaskLine) -> str:
        return "" if line.next_due is None else medium_date(self._context.speech, line.next_due)

    def state(self, line: TaskLine) -> str:
        return "" if line.status is None else state_word(self._context.speech, line.status)


def _title(line: TaskLine) -> str:
    return line.title


def _tub(line: TaskLine) -> str:
    return line.tub_name


def _mark(line: TaskLine) -> Mark | None:
    return None if line.status is None else MARKS[line.status]


def _next_key(line: TaskLine) -> str:
    return "" if line.next_due is None else line.next_due.isoformat()
