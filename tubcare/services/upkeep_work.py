"""Work entered freely, whether or not its time has come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.occurrences import closes_coming, occurrence
from tubcare.errors import RuleError
from tubcare.services.moments import happened_at
from tubcare.services.upkeep_case import case_of
from tubcare.services.upkeep_done import record_done
from tubcare.services.upkeep_model import UPKEEP_TOPICS, Ticked, Work

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TaskId


class EarlyWorkError(RuleError):
    """Work lies before the window of the coming occurrence; the person decides what it means.

    Parameters
    ----------
    opens_on
        The first day on which work closes it.
    began_on
        The day on which the task came into the plan, where the work lies before that.
    """

    def __init__(self, title: str, opens_on: date, began_on: date | None = None) -> None:
        self.title = title
        self.opens_on = opens_on
        self.began_on = began_on
        super().__init__(
            f"“{title}” is not due before {opens_on}; say whether its clock starts anew"
            if began_on is None
            else f"“{title}” came into the plan on {began_on}, after this work; say whether its "
            "clock runs from this work on"
        )


def record_work(desk: Desk, task: TaskId, work: Work, *, restarts: bool | None = None) -> Ticked:
    """Record work entered freely: it closes the coming occurrence inside its window.

    Parameters
    ----------
    restarts
        The person's answer, outside the window: True closes the coming occurrence, False records
        extra work that leaves the clock alone, None asks by raising.

    Raises
    ------
    EarlyWorkError
        Outside the window while `restarts` is None.
    """
    with desk.write("tick_off", "", UPKEEP_TOPICS) as unit:
        return insert_work(desk, unit, task, work, restarts=restarts)


def insert_work(
    desk: Desk, unit: Unit, task: TaskId, work: Work, *, restarts: bool | None = None
) -> Ticked:
    """Record work inside a running use case; raises like `record_work`."""
    case = case_of(desk, unit, task)
    on, _at = happened_at(desk, case.tub.zone, work.on)
    # What was open on the day of the work, so that dated-back work closes its own date.
    facts = case.plan.facts.get(task)
    then = occurrence(case.task, facts, case.tub.facts, on)
    if then is None:
        return record_done(desk, unit, case, None, work)
    inside = closes_coming(then, on)
    if not inside and restarts is None:
        began = case.task.starts_on
        raise EarlyWorkError(case.task.title, then.opens_on, began if on < began else None)
    return record_done(desk, unit, case, then if inside or restarts else None, work)
