"""The rule of a task in plain language: "every 30 days or after 40 dips, whichever is first"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.terms import Comparison, Edge, Scope
from tubcare.care.triggers import (
    CalendarTrigger,
    ElapsedTrigger,
    OnceTrigger,
    ReadingTrigger,
    SeasonTrigger,
    UseTrigger,
)
from tubcare.words.dates import medium_date
from tubcare.words.lists import any_of
from tubcare.words.measures import counted, measured_name, measured_value
from tubcare.words.sentences.intervals import beside_edge, every
from tubcare.words.sentences.recurrence import recurrence
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.care.condition import Condition
    from tubcare.care.triggers import Trigger
    from tubcare.words.locale import Speech


def task_rule(speech: Speech, triggers: Sequence[Trigger], scope: Scope = Scope.ALWAYS) -> str:
    """Return all that makes a task due, in one phrase."""
    told = [trigger(speech, each) for each in triggers]
    rule = told[0] if len(told) == 1 else _whichever(speech, told)
    if scope is Scope.ALWAYS:
        return rule
    return speech.say("{rule}; {scope}", rule=rule, scope=word(speech, scope))


def trigger(  # noqa: PLR0911  one phrase for each kind
    speech: Speech, each: Trigger
) -> str:
    """Return what makes a task due, as a phrase."""
    match each:
        case CalendarTrigger():
            return recurrence(speech, each.rule, each.start)
        case ElapsedTrigger():
            return every(speech, each.every)
        case UseTrigger():
            return speech.say("after {use}", use=counted(speech, each.counter, each.amount))
        case SeasonTrigger():
            return _season(speech, each)
        case ReadingTrigger():
            return speech.say("when {condition}", condition=condition(speech, each.condition))
        case OnceTrigger():
            return speech.say("once, on {day}", day=medium_date(speech, each.on))


def condition(speech: Speech, each: Condition) -> str:
    """Return the condition of a reading trigger: pH is outside the tub's range."""
    name = measured_name(speech, each.quantity)
    if each.limit is None:
        return _beside_range(speech, name, each.comparison)
    return speech.say(
        "{name} is {comparison} {limit}",
        name=name,
        comparison=word(speech, each.comparison),
        limit=measured_value(speech, each.quantity, each.limit),
    )


def _beside_range(speech: Speech, name: str, comparison: Comparison) -> str:
    match comparison:
        case Comparison.LESS | Comparison.AT_MOST:
            return speech.say("{name} is below the range of the tub", name=name)
        case Comparison.MORE | Comparison.AT_LEAST:
            return speech.say("{name} is above the range of the tub", name=name)
        case Comparison.OUTSIDE:
            return speech.say("{name} is outside the range of the tub", name=name)


def _whichever(speech: Speech, told: list[str]) -> str:
    return speech.say("{rules}, whichever comes first", rules=any_of(speech, told))


def _season(speech: Speech, each: SeasonTrigger) -> str:
    edge = word(speech, each.edge)
    if each.edge not in {Edge.FROST_WATCH, Edge.FROST_DRY}:
        return beside_edge(speech, edge, each.offset_days, None)
    return beside_edge(speech, edge, each.offset_days, each.risk_percent)
