"""Small tasks that are offered together."""

from __future__ import annotations

from tests.care.builders import TUB, day, every, task, tub
from tubcare.care.model import Scope, Task, TubFacts, TubState
from tubcare.care.occurrences import occurrences
from tubcare.care.rounds import Round, group_rounds

OPEN = tub()
SUNDAY = "Sunday round"


def _grouped(tasks: list[Task], of: TubFacts = OPEN) -> tuple[list[Round], list[int]]:
    found = occurrences(tasks, {}, {of.tub_id: of}, day("2026-01-05"))
    rounds, alone = group_rounds(found, {each.id: each for each in tasks})
    return rounds, [each.task_id for each in alone]


def test_small_tasks_of_one_name_due_together_make_a_round() -> None:
    tasks = [
        task(every(7), number=1, round_name=SUNDAY, minutes=5),
        task(every(7), number=2, round_name=SUNDAY, minutes=7),
        task(every(7), number=3, minutes=30),
    ]
    rounds, alone = _grouped(tasks)
    assert [(each.name, each.minutes, each.due_on) for each in rounds] == [
        (SUNDAY, 12, day("2026-01-08"))
    ]
    assert [each.task_id for each in rounds[0].occurrences] == [1, 2]
    assert rounds[0].tub_id == TUB
    assert alone == [3]


def test_a_round_takes_what_may_be_done_on_its_day() -> None:
    # Due on the 8th and the 9th; the window of the second opens a day before its date.
    tasks = [
        task(every(7), number=1, round_name=SUNDAY),
        task(every(8), number=2, round_name=SUNDAY),
    ]
    rounds, _alone = _grouped(tasks)
    assert [len(each.occurrences) for each in rounds] == [2]


def test_a_round_leaves_what_is_due_much_later() -> None:
    tasks = [
        task(every(7), number=1, round_name=SUNDAY),
        task(every(20), number=2, round_name=SUNDAY),
    ]
    assert _grouped(tasks) == ([], [1, 2])


def test_a_round_has_one_name_alone() -> None:
    tasks = [
        task(every(7), number=1, round_name=SUNDAY),
        task(every(7), number=2, round_name="Wednesday round"),
    ]
    assert _grouped(tasks) == ([], [1, 2])


def test_what_sleeps_is_in_no_round() -> None:
    closed = tub(("2026-01-01", TubState.CLOSED))
    tasks = [
        task(every(7), number=number, round_name=SUNDAY, scope=Scope.IN_SEASON)
        for number in (1, 2)
    ]
    rounds, alone = _grouped(tasks, closed)
    assert rounds == []
    assert alone == [1, 2]
