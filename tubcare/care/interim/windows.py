"""How early and how late work still counts as on time."""

from __future__ import annotations

from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.interim.due_dates import Candidate
    from tubcare.care.model import Task

ON_TIME_SHARE = 0.10
LATE_SHARE = 0.25


class Window(NamedTuple):
    """The dates around a due date; None where a task never escalates."""

    opens_on: date
    late_after: date | None
    overdue_after: date | None


def window_of(task: Task, candidate: Candidate, due_on: date) -> Window:
    """Return the window of an occurrence.

    On time is within max(1 day, 10 % of the interval) of the due date, late until 25 %, unless the
    task says otherwise. Tasks without grace are late the day after; cosmetic ones never are.
    """
    interval = candidate.interval_days
    if task.tolerance is not None:
        on_time, late = task.tolerance.on_time_days, task.tolerance.overdue_days
    else:
        on_time = max(1, round(interval * ON_TIME_SHARE))
        late = max(on_time, ceil(interval * LATE_SHARE))
    opens_on = due_on - timedelta(on_time)
    if task.cosmetic:
        return Window(opens_on, None, None)
    late_after = due_on if task.no_grace else due_on + timedelta(on_time)
    return Window(opens_on, late_after, due_on + timedelta(late))
