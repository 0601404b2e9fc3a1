"""What the window says after work was recorded, skipped or put off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.dates import weekday_date
from tubcare.words.money import money
from tubcare.words.sentences.shelf import lacked
from tubcare.words.sentences.turns import entered

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.services.upkeep_model import Ticked
    from tubcare.words.locale import Speech


def recorded_text(speech: Speech, ticked: Sequence[Ticked]) -> str:
    """Return what was recorded, what it cost, what comes next and what it brought about."""
    first, count = ticked[0], len(ticked)
    names = first.title if count == 1 else speech.say_count("{n} task", "{n} tasks", count)
    cost = sum(each.cost_minor for each in ticked)
    parts = [speech.say("Recorded: {what}", what=names)]
    if cost:
        parts.append(money(speech, cost))
    if count == 1 and first.next_due is not None:
        parts.append(speech.say("next on {day}", day=weekday_date(speech, first.next_due)))
    told = ", ".join(parts) + "."
    turned = next((each.entered for each in ticked if each.entered is not None), None)
    if turned is not None:
        told = f"{told} {entered(speech, turned)}"
    opened = [each.follow_up for each in ticked if each.follow_up is not None]
    for follow_up in opened:
        added = speech.say(
            "Added to the plan: {task}, due {day}.",
            task=follow_up.title,
            day=weekday_date(speech, follow_up.due_on),
        )
        told = f"{told} {added}"
    notes = [note for each in ticked for note in each.lacked]
    return " ".join((told, *lacked(speech, notes)))


def skipped_text(speech: Speech, skipped: Ticked) -> str:
    """Return what was skipped, and when it comes next."""
    if skipped.next_due is None:
        return speech.say("Skipped: {what}.", what=skipped.title)
    return speech.say(
        "Skipped: {what}, next on {day}.",
        what=skipped.title,
        day=weekday_date(speech, skipped.next_due),
    )


def put_off_text(speech: Speech, moved: Sequence[Ticked]) -> str:
    """Return what was put off, and to which day."""
    first, count = moved[0], len(moved)
    names = first.title if count == 1 else speech.say_count("{n} task", "{n} tasks", count)
    if first.next_due is None:
        return speech.say("Put off: {what}.", what=names)
    day = weekday_date(speech, first.next_due)
    return speech.say("Put off to {day}: {what}.", what=names, day=day)
