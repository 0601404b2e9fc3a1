"""Commands that record work: done, skip, put off, undo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.model import InspectionResult
from tubcare.cli.naming import find_task
from tubcare.cli.weekly import lack_data
from tubcare.errors import InputError, RuleError
from tubcare.services.history import redo, undo
from tubcare.services.supplies import supply_named
from tubcare.services.task_record import task_page
from tubcare.services.tasks import open_key
from tubcare.services.upkeep_model import Ticked, Work
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_work import EarlyWorkError, record_work
from tubcare.words.dates import weekday_date
from tubcare.words.money import money, parse_payment
from tubcare.words.numbers import parse_number
from tubcare.words.sentences.actions import action as action_words
from tubcare.words.sentences.actions import undone_text
from tubcare.words.sentences.shelf import lacked
from tubcare.words.sentences.turns import entered

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TaskId

NOTHING_USED = "none="
THOUSAND = 1000


def done(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Tick off a task."""
    values = arguments.values
    on = values.on or arguments.today
    work = Work(
        on=on,
        minutes=values.minutes,
        note=values.note,
        result=InspectionResult(values.result) if values.result else None,
        uses=None if values.use is None else _uses(desk, values.use, output),
        cost_minor=parse_payment(output.speech, "amount", values.cost) if values.cost else None,
    )
    restarts = None if values.restart is None else values.restart == "yes"
    task = find_task(desk, values.task)
    try:
        ticked = record_work(desk, task, work, restarts=restarts)
    except EarlyWorkError as error:
        # Of two people who tick at once, the second has to hear who was first.
        before = [each for each in task_page(desk, task).history if not each.skipped][:1]
        last = "".join(f" (done last on {each.on} by {each.who})" for each in before)
        raise RuleError(
            f"{error}: --restart yes, or --restart no when it was extra work{last}"
        ) from error
    _tell(ticked, output, output.speech.say("Done: {task}, {day}", **_named(ticked, output)))


def skip_one(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Drop one occurrence of a task."""
    task = find_task(desk, arguments.values.task)
    dropped = skip(desk, task, _key(desk, task), arguments.values.reason)
    _tell(dropped, output, output.speech.say("Skipped: {task}, {day}", **_named(dropped, output)))


def put_off_one(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Move one occurrence of a task."""
    values = arguments.values
    task = find_task(desk, values.task)
    moved = put_off(desk, task, _key(desk, task), values.to, values.reason)
    speech = output.speech
    _tell(moved, output, speech.say("Put off: {task}, {day}", **_named(moved, output)))
    if moved.asks_longer_interval:
        output.line(
            speech.say("This was put off twice in a row. A longer interval may fit better.")
        )


def undo_last(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Take back what this person did last."""
    _ = arguments
    action = undo(desk)
    output.data({"undone": action.label, "subject": action.subject})
    output.line(undone_text(output.speech, action.label, action.subject))


def redo_last(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Do again what was taken back last."""
    _ = arguments
    action = redo(desk)
    output.data({"redone": action.label, "subject": action.subject})
    told = action_words(output.speech, action.label, action.subject)
    output.line(output.speech.say("Done again: {action}", action=told))


def _uses(desk: Desk, written: list[str], output: Output) -> dict[SupplyId, int]:
    """Return thousandths of its unit for each supply that was named."""
    found: dict[SupplyId, int] = {}
    with desk.read() as connection:
        for text in written:
            name, sign, amount = text.partition("=")
            if text == NOTHING_USED:
                continue
            if not sign:
                raise InputError("supply", f"write it like Filter=2, not “{text}”")
            supply = supply_named(connection, name)
            number = parse_number(output.speech, "quantity", amount, max_decimals=3)
            found[supply] = round(number * THOUSAND)
    return found


def _key(desk: Desk, task: TaskId) -> str:
    key = open_key(desk, task)
    if key is None:
        raise RuleError("this task has nothing coming")
    return key


def _named(ticked: Ticked, output: Output) -> dict[str, str]:
    return {"task": ticked.title, "day": weekday_date(output.speech, ticked.on)}


def _tell(ticked: Ticked, output: Output, told: str) -> None:
    output.data(
        {
            "task": ticked.task,
            "title": ticked.title,
            "completion": ticked.completion,
            "on": ticked.on.isoformat(),
            "cost_minor": ticked.cost_minor,
            "uses_milli": {str(k): v for k, v in ticked.uses.items()},
            "next_due": ticked.next_due.isoformat() if ticked.next_due else None,
            "follow_up": _follow_up(ticked),
            "lacked": [lack_data(note) for note in ticked.lacked],
            "entered": None if ticked.entered is None else ticked.entered.value,
        }
    )
    speech = output.speech
    output.line(f"{told}, {money(speech, ticked.cost_minor)}" if ticked.cost_minor else told)
    for text in lacked(speech, ticked.lacked):
        output.line(text)
    if ticked.entered is not None:
        output.line(entered(speech, ticked.entered))
    if ticked.next_due is not None:
        output.line(speech.say("Next: {day}", day=weekday_date(speech, ticked.next_due)))
    if ticked.follow_up is not None:
        output.line(
            speech.say(
                "Added to the plan: {task}, due {day}",
                task=ticked.follow_up.title,
                day=weekday_date(speech, ticked.follow_up.due_on),
            )
        )


def _follow_up(ticked: Ticked) -> Json | None:
    opened = ticked.follow_up
    if opened is None:
        return None
    return {"task": opened.id, "title": opened.title, "due_on": opened.due_on.isoformat()}
