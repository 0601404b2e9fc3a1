"""One task whole in the terminal: why and when, steps with cautions, what was done last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.cli.weekly import lack_data
from tubcare.words.dates import medium_date, minutes
from tubcare.words.money import money
from tubcare.words.plan_terms import caution_told, plan_word
from tubcare.words.sentences.rules import task_rule
from tubcare.words.sentences.shelf import lacking
from tubcare.words.sentences.waits import wait_text
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.output import Json, Output
    from tubcare.services.task_record import HistoryLine, StepLine, TaskPage

RECORDS_SHOWN = 5


def show_task(page: TaskPage, output: Output) -> None:
    """Write a task for a person, or as stable fields."""
    detail, speech = page.detail, output.speech
    output.data(_data(page, output))
    output.line(detail.title)
    _due(page, output)
    rule = task_rule(speech, detail.task.triggers, detail.task.scope)
    output.line(speech.say("Rule: {rule}", rule=rule))
    if detail.card.needs:
        needs = ", ".join(plan_word(speech, need) for need in detail.card.needs)
        output.line(speech.say("Needs: {needs}", needs=needs))
    if detail.minutes:
        output.line(speech.say("Usually: {parts}", parts=minutes(speech, detail.minutes)))
    for told in lacking(speech, page.lacks):
        output.line(f"  {told}")
    for caution in detail.general_cautions:
        output.line(f"  {caution_told(speech, caution)}")
    for step in page.steps:
        _step(step, output)
    if detail.card.tools:
        output.line(speech.say("Tools: {names}", names=", ".join(detail.card.tools)))
    _history(page, output)


def _due(page: TaskPage, output: Output) -> None:
    each, speech = page.detail.open, output.speech
    if each is None:
        return
    told = speech.say(
        "{state}, due {day}: {why}",
        state=word(speech, each.status),
        day=medium_date(speech, each.due_on),
        why=why(speech, each, page.detail.today),
    )
    output.line(told)


def _step(step: StepLine, output: Output) -> None:
    speech = output.speech
    mark = "x" if step.done_at is not None else " "
    output.line(f"  [{mark}] {step.number + 1}. {step.text}")
    if step.waits_h:
        output.line(f"      {wait_text(speech, step.waits_h)}")
    for caution in step.cautions:
        output.line(f"      {caution_told(speech, caution)}")


def _history(page: TaskPage, output: Output) -> None:
    speech = output.speech
    if not page.history:
        return
    output.line()
    output.line(speech.say_count("Done {n} time", "Done {n} times", page.done))
    output.table(
        [
            (
                medium_date(speech, line.on),
                line.who,
                money(speech, line.cost_minor) if line.cost_minor else "",
                line.note,
            )
            for line in page.history[:RECORDS_SHOWN]
        ],
        right=frozenset({2}),
    )


def _data(page: TaskPage, output: Output) -> Json:
    detail, speech = page.detail, output.speech
    each = detail.open
    return {
        "task": detail.id,
        "title": detail.title,
        "rule": task_rule(speech, detail.task.triggers, detail.task.scope),
        "due_on": None if each is None else each.due_on.isoformat(),
        "opens_on": None if each is None else each.opens_on.isoformat(),
        "why": "" if each is None else why(speech, each, detail.today),
        "needs": [need.value for need in detail.card.needs],
        "steps": [step.text for step in page.steps],
        "steps_done": [step.done_at is not None for step in page.steps],
        "cautions": list(map(speech.own, detail.cautions)),
        "tools": list(detail.card.tools),
        "minutes": detail.minutes,
        "lacks": [lack_data(note) for note in page.lacks],
        "done": [_record(line) for line in page.history],
    }


def _record(line: HistoryLine) -> Json:
    return {
        "completion": line.completion,
        "on": line.on.isoformat(),
        "who": line.who,
        "skipped": line.skipped,
        "extra": line.extra,
        "result": None if line.result is None else line.result.value,
        "minutes": line.minutes,
        "cost_minor": line.cost_minor,
        "note": line.note,
    }
