"""Commands that show the care plan and the dates ahead."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.cli.naming import find_task
from tubcare.cli.one_task import show_task
from tubcare.services.outlook import ahead
from tubcare.services.task_record import task_page
from tubcare.services.tasks import task_list
from tubcare.words.dates import medium_date, weekday_date
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk

DAYS_A_MONTH = 30


def tasks(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the care plan, one task whole, or the dates ahead."""
    values = arguments.values
    if values.coming is not None:
        _coming(desk, values.coming, output)
    elif values.task:
        show_task(task_page(desk, find_task(desk, values.task)), output)
    else:
        _plan(desk, output)


def _plan(desk: Desk, output: Output) -> None:
    found = task_list(desk)
    output.data(
        {
            "tasks": [
                {
                    "task": each.id,
                    "title": each.title,
                    "tub": each.tub_name,
                    "category": each.category.value,
                    "next_due": each.next_due.isoformat() if each.next_due else None,
                    "status": each.status.value if each.status else None,
                }
                for each in found
            ]
        }
    )
    speech = output.speech
    output.table(
        [
            (
                f"{each.id}",
                each.title,
                word(speech, each.category),
                word(output.speech, each.status) if each.status else "",
                medium_date(speech, each.next_due) if each.next_due else "",
            )
            for each in found
        ],
        right=frozenset({0}),
    )


def _coming(desk: Desk, months: int, output: Output) -> None:
    found = ahead(desk, desk.home_today() + timedelta(days=DAYS_A_MONTH * months))
    titles = {task.id: task.title for task in found.plan.tasks}
    output.data(
        {
            "coming": [
                {
                    "task": each.task_id,
                    "title": titles[each.task_id],
                    "due_on": each.due_on.isoformat(),
                    "about": each.about,
                }
                for each in found.occurrences
            ]
        }
    )
    output.table(
        [
            (
                weekday_date(output.speech, each.due_on),
                titles[each.task_id],
                output.speech.say("about") if each.about else "",
            )
            for each in found.occurrences
        ]
    )
