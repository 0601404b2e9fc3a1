"""Commands that show: this week, the care plan, the dates ahead."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.cli.naming import find_task
from tubcare.services.outlook import ahead
from tubcare.services.tasks import TaskDetail, task_detail, task_list
from tubcare.services.week import DueItem, this_week
from tubcare.words.dates import date_range, first_weekday, medium_date, weekday_date
from tubcare.words.money import money
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.services.desk import Desk
    from tubcare.services.week import Week

DAYS_A_MONTH = 30


def week(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what is due this week."""
    _ = arguments
    found = this_week(desk, first_weekday=first_weekday(output.speech))
    output.data(_week_data(found, output))
    if not found.tubs:
        output.line("This logbook has no tub yet. Add one with: tubcare tub add NAME")
        return
    speech = output.speech
    output.line(f"Week of {date_range(speech, found.first, found.last)}")
    _section(output, "Late", found.late, many=found.tubs > 1)
    _section(output, "Today", found.due_today, many=found.tubs > 1)
    for beside in found.together:
        title = speech.say("While {tub} is empty", tub=beside.tub_name)
        _section(output, title, beside.items, many=False)
    for each in found.days:
        _section(output, weekday_date(speech, each.on), each.items, many=found.tubs > 1)
    if not found.open_items:
        output.line()
        output.line("Nothing is due this week.")
    _section(output, "Later", found.later[:8], many=found.tubs > 1)
    if found.asleep:
        tasks = "1 task sleeps" if found.asleep == 1 else f"{found.asleep} tasks sleep"
        output.line()
        output.line(f"{tasks} until the season turns.")


def tasks(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the care plan, one task whole, or the dates ahead."""
    values = arguments.values
    if values.coming:
        _coming(desk, values.coming, output)
    elif values.task:
        _detail(task_detail(desk, find_task(desk, values.task)), output)
    else:
        _plan(desk, output)


def _section(output: Output, title: str, items: tuple[DueItem, ...], *, many: bool) -> None:
    if not items:
        return
    output.line()
    output.line(title)
    output.table([_row(item, output, many=many) for item in items], right=frozenset({0, 4}))


def _row(item: DueItem, output: Output, *, many: bool) -> tuple[str, ...]:
    each, speech = item.occurrence, output.speech
    cost = money(speech, item.expected_minor) if item.expected_minor else ""
    about = "about " if each.about else ""
    title = f"{item.title} ({item.tub_name})" if many else item.title
    return (
        f"{item.task}",
        title,
        word(output.speech, each.status),
        f"{about}{medium_date(speech, each.due_on)}",
        cost,
        why(speech, each, item.today),
    )


def _item_data(item: DueItem, output: Output) -> Json:
    each = item.occurrence
    return {
        "task": item.task,
        "title": item.title,
        "tub": item.tub_name,
        "category": item.category.value,
        "key": each.key,
        "status": each.status.value,
        "due_on": each.due_on.isoformat(),
        "opens_on": each.opens_on.isoformat(),
        "about": each.about,
        "put_offs": each.put_offs,
        "missed": [day.isoformat() for day in each.missed],
        "expected_minor": item.expected_minor,
        "minutes": item.minutes,
        "round": item.round_name,
        "why": why(output.speech, each, item.today),
    }


def _week_data(found: Week, output: Output) -> Json:
    return {
        "today": found.today.isoformat(),
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
        "late": [_item_data(item, output) for item in found.late],
        "due_today": [_item_data(item, output) for item in found.due_today],
        "together": [
            {"tub": each.tub_name, "items": [_item_data(i, output) for i in each.items]}
            for each in found.together
        ],
        "days": [
            {"on": day.on.isoformat(), "items": [_item_data(i, output) for i in day.items]}
            for day in found.days
        ],
        "later": [_item_data(item, output) for item in found.later],
        "asleep": found.asleep,
        "done": [
            {
                "task": done.task,
                "title": done.title,
                "on": done.on.isoformat(),
                "who": done.who,
                "skipped": done.skipped,
                "note": done.note,
            }
            for done in found.done
        ],
    }


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
                each.category.value.replace("_", " "),
                word(output.speech, each.status) if each.status else "",
                medium_date(speech, each.next_due) if each.next_due else "",
            )
            for each in found
        ],
        right=frozenset({0}),
    )


def _detail(detail: TaskDetail, output: Output) -> None:
    output.data(
        {
            "task": detail.id,
            "title": detail.title,
            "steps": [step.text for step in detail.card.steps],
            "cautions": list(detail.cautions),
            "tools": list(detail.card.tools),
            "minutes": detail.minutes,
        }
    )
    output.line(detail.title)
    for caution in detail.general_cautions:
        output.line(f"  Caution: {caution}")
    for number, (text, cautions) in enumerate(detail.steps, 1):
        output.line(f"  {number}. {text}")
        for caution in cautions:
            output.line(f"     Caution: {caution}")


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
                "about" if each.about else "",
            )
            for each in found.occurrences
        ]
    )
