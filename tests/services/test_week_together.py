"""Work that needs the tub empty is offered together."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tests.support.plans import add_tub
from tubcare.care.model import Category
from tubcare.care.plan_card import Need, Step, TaskCard
from tubcare.services.task_edits import TaskDraft, add_task
from tubcare.services.week import Week, this_week

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

EMPTY = TaskCard(needs=(Need.TUB_EMPTY,))


def once(desk: Desk, tub: TubId, title: str, on: date, card: TaskCard = EMPTY) -> None:
    add_task(
        desk,
        TaskDraft(
            tub=tub,
            title=title,
            category=Category.LINER,
            rules={"triggers": [{"kind": "once", "on": on.isoformat()}]},
            starts_on=date(2026, 4, 1),
            card=card,
        ),
    )


def beside(week: Week) -> list[tuple[str, list[str]]]:
    return [(each.tub_name, [item.title for item in each.items]) for each in week.together]


def test_what_needs_the_tub_empty_later_is_offered_when_it_is_empty_now(desk: Desk) -> None:
    tub = add_tub(desk)
    once(desk, tub, "Change the water", date(2026, 5, 1))
    once(desk, tub, "Wash the liner", date(2026, 6, 10))
    once(desk, tub, "Oil the lid", date(2026, 5, 20), TaskCard())
    week = this_week(desk)
    assert beside(week) == [("North", ["Wash the liner"])]
    assert [item.title for item in week.due_today] == ["Change the water"]
    assert [item.title for item in week.later] == ["Oil the lid"]


def test_nothing_is_offered_early_while_no_work_empties_the_tub(desk: Desk) -> None:
    tub = add_tub(desk)
    once(desk, tub, "Change the water", date(2026, 5, 20))
    once(desk, tub, "Wash the liner", date(2026, 5, 25))
    assert this_week(desk).together == ()
    assert len(this_week(desk).later) == 2


def test_one_tub_being_empty_says_nothing_of_another(desk: Desk) -> None:
    once(desk, add_tub(desk), "Change the water", date(2026, 5, 1))
    once(desk, add_tub(desk, name="South"), "Wash the liner", date(2026, 5, 20))
    assert this_week(desk).together == ()


def test_a_text_that_mentions_the_need_is_no_need(desk: Desk) -> None:
    tub = add_tub(desk)
    once(desk, tub, "Change the water", date(2026, 5, 1))
    words = TaskCard(steps=(Step(text='write "tub_empty" on the board'),))
    once(desk, tub, "Make a sign", date(2026, 5, 20), words)
    assert this_week(desk).together == ()
