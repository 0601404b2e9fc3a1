"""The lines that the page of a task is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.care.procedure import StepState
from tubcare.words.dates import clock_time, medium_date, minutes, relative_day, weekday_date
from tubcare.words.money import money
from tubcare.words.plan_terms import plan_word
from tubcare.words.sentences.intervals import every
from tubcare.words.sentences.shelf import supply_amount
from tubcare.words.sentences.waits import wait_text
from tubcare.words.terms import word

if TYPE_CHECKING:
    from datetime import date, datetime

    from tubcare.care.model import Occurrence
    from tubcare.services.task_record import HistoryLine, StepLine
    from tubcare.services.tasks import TaskDetail, UsualSupply
    from tubcare.words.locale import Speech


def window_text(speech: Speech, each: Occurrence, today: date) -> str:
    """Return from when on it may be done, when it is due, and after when it is late."""
    day, when = medium_date(speech, each.due_on), relative_day(speech, each.due_on, today)
    if each.about:
        parts = [speech.say("Due about {day} ({when})", day=day, when=when)]
    else:
        parts = [speech.say("Due {day} ({when})", day=day, when=when)]
    if each.opens_on < each.due_on:
        parts.append(speech.say("early from {day}", day=medium_date(speech, each.opens_on)))
    if each.late_after is None:
        parts.append(speech.say("never late"))
    else:
        parts.append(speech.say("late after {day}", day=medium_date(speech, each.late_after)))
    return ", ".join(parts)


def needs_text(speech: Speech, detail: TaskDetail) -> str:
    """Return what has to hold while the task is done, empty for nothing."""
    needs = [plan_word(speech, need) for need in detail.card.needs]
    return speech.say("Needs: {needs}", needs=", ".join(needs)) if needs else ""


def usual_text(speech: Speech, detail: TaskDetail) -> str:
    """Return who usually does it, how long it takes, what it uses up and costs."""
    parts = []
    if detail.card.who:
        parts.append(detail.card.who)
    if detail.minutes:
        parts.append(minutes(speech, detail.minutes))
    parts += [supply_text(speech, each) for each in detail.supplies]
    if detail.usual_minor:
        parts.append(money(speech, detail.usual_minor))
    return speech.say("Usually: {parts}", parts=", ".join(parts)) if parts else ""


def supply_text(speech: Speech, each: UsualSupply) -> str:
    """Return a supply with its amount."""
    amount = supply_amount(speech, each.quantity_milli, each.unit)
    return speech.say("{amount} {supply}", amount=amount, supply=each.name)


def inspection_text(speech: Speech, detail: TaskDetail) -> str:
    """Return what the result of an inspection brings, a line for each; empty for nothing."""
    lines = [
        speech.say("If {result}: {every}", result=word(speech, result), every=every(speech, each))
        for result, each in detail.task.result_intervals.items()
    ]
    lines += [
        speech.say_count(
            "If {result}: adds “{task}”, due within {n} day",
            "If {result}: adds “{task}”, due within {n} days",
            each.within_days,
            result=word(speech, each.result),
            task=each.title,
        )
        for each in detail.card.follow_ups
    ]
    return "\n".join(lines)


def step_note(speech: Speech, step: StepLine, zone: str) -> str:
    """Return who ticked a step and when, or what it waits for; empty for neither."""
    if step.done_at is not None:
        moment = moment_text(speech, step.done_at, zone)
        if not step.done_by:
            return speech.say("done {moment}", moment=moment)
        return speech.say("{who}, {moment}", who=step.done_by, moment=moment)
    if step.state is StepState.WAITING and step.ready_at is not None:
        return speech.say("wait until {moment}", moment=moment_text(speech, step.ready_at, zone))
    if step.waits_h:
        return wait_text(speech, step.waits_h)
    return ""


def moment_text(speech: Speech, moment: datetime, zone: str) -> str:
    """Return an instant as weekday, day and time of the tub."""
    local = moment.astimezone(ZoneInfo(zone))
    day = weekday_date(speech, local.date())
    return speech.say("{day}, {time}", day=day, time=clock_time(speech, local))


def outcome_text(speech: Speech, line: HistoryLine) -> str:
    """Return what became of an occurrence, and what was found."""
    if line.skipped:
        told = speech.say("skipped")
    elif line.extra:
        told = speech.say("extra work")
    elif line.on_time:
        told = speech.say("done in time")
    else:
        told = speech.say("done late")
    if line.result is None:
        return told
    return speech.say("{outcome}: {result}", outcome=told, result=word(speech, line.result))
