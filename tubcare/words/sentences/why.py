"""Why something is due: "31 days since 12 May; every 30 days"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.reasons import (
    ElapsedReason,
    FirstReason,
    OnceReason,
    ReadingReason,
    RuleReason,
    SeasonReason,
    UseReason,
)
from tubcare.care.terms import Edge
from tubcare.words.dates import day_and_month
from tubcare.words.measures import counted, measured_figure, measured_name, measured_value
from tubcare.words.sentences.intervals import beside_edge, every
from tubcare.words.sentences.recurrence import recurrence
from tubcare.words.terms import word

# What is answered with one tap; the names are those of the readings.
OBSERVED = frozenset({"clarity", "smell", "slime", "foam", "colour", "ice"})

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.facts import Range
    from tubcare.care.model import Occurrence
    from tubcare.care.reasons import Reason
    from tubcare.words.locale import Speech


def why(speech: Speech, each: Occurrence, today: date) -> str:
    """Return why an occurrence is due, with what moved its date, as one phrase."""
    told = reason(speech, each.reason, today)
    if each.about:
        told = speech.say(
            "{why}; about {day} at the recent pace",
            why=told,
            day=day_and_month(speech, each.due_on, today),
        )
    if each.put_off_from is not None:
        told = speech.say_count(
            "{why}; put off from {day}",
            "{why}; put off {n} times, first from {day}",
            max(1, each.put_offs),
            why=told,
            day=day_and_month(speech, each.put_off_from, today),
        )
    if each.missed:
        told = speech.say_count(
            "{why}; {n} earlier date was missed",
            "{why}; {n} earlier dates were missed",
            len(each.missed),
            why=told,
        )
    return told


def reason(  # noqa: PLR0911  one phrase for each kind
    speech: Speech, each: Reason, today: date
) -> str:
    """Return a reason as a phrase."""
    match each:
        case RuleReason():
            return _rule(speech, each, today)
        case ElapsedReason():
            return _elapsed(speech, each, today)
        case UseReason():
            return speech.say(
                "{used} since the last time; every {amount}",
                used=counted(speech, each.counter, each.used),
                amount=counted(speech, each.counter, each.amount),
            )
        case SeasonReason():
            return _season(speech, each, today)
        case ReadingReason():
            return _reading(speech, each, today)
        case OnceReason() | FirstReason():
            return _single(speech, each, today)


def _single(speech: Speech, each: OnceReason | FirstReason, today: date) -> str:
    day = day_and_month(speech, each.on, today)
    if isinstance(each, OnceReason):
        return speech.say("set for {day}", day=day)
    return speech.say("for the first time, planned for {day}", day=day)


def _rule(speech: Speech, each: RuleReason, today: date) -> str:
    told = speech.say(
        "set for {day}; {rule}",
        day=day_and_month(speech, each.on, today),
        rule=recurrence(speech, each.rule, each.moved_from or each.on),
    )
    if each.moved_from is None:
        return told
    return speech.say(
        "{why}; moved from {day}, which lies outside its season",
        why=told,
        day=day_and_month(speech, each.moved_from, today),
    )


def _elapsed(speech: Speech, each: ElapsedReason, today: date) -> str:
    since = day_and_month(speech, each.since, today)
    days = max(0, (today - each.since).days - each.paused_days)
    if each.since_opening:
        since = speech.say("the opening on {day}", day=since)
    elif each.since_closing:
        since = speech.say("the closing on {day}", day=since)
    if days:
        told = speech.say_count(
            "{n} day since {since}; {every}",
            "{n} days since {since}; {every}",
            days,
            since=since,
            every=every(speech, each.every),
        )
    else:
        rule = every(speech, each.every)
        told = speech.say("counted from {since}; {every}", since=since, every=rule)
    if each.paused_days:
        told = speech.say_count(
            "{why}; {n} day outside its season not counted",
            "{why}; {n} days outside its season not counted",
            each.paused_days,
            why=told,
        )
    if each.result is not None:
        told = speech.say(
            "{why}; the last inspection was {result}", why=told, result=word(speech, each.result)
        )
    return told


def _season(speech: Speech, each: SeasonReason, today: date) -> str:
    day = day_and_month(speech, each.edge_on, today)
    edge = speech.say(
        "{edge} on {day}", edge=_edge(speech, each.edge, planned=each.planned), day=day
    )
    return beside_edge(speech, edge, each.offset_days, each.risk_percent)


def _edge(speech: Speech, edge: Edge, *, planned: bool) -> str:
    if planned and edge is Edge.OPENING:
        return speech.say_in("edge", "the planned opening")
    if planned and edge is Edge.CLOSING:
        return speech.say_in("edge", "the planned closing")
    return word(speech, edge)


def _reading(speech: Speech, each: ReadingReason, today: date) -> str:
    condition = each.condition
    if condition.quantity == "untested_doses":
        day = day_and_month(speech, each.taken_on, today)
        return speech.say("the waiting time after a dose was over on {day}", day=day)
    if condition.quantity in OBSERVED:
        return _seen(speech, each, today)
    parts = {
        "name": measured_name(speech, condition.quantity),
        "value": measured_value(speech, condition.quantity, each.value),
        "day": day_and_month(speech, each.taken_on, today),
    }
    if condition.limit is not None:
        limit = measured_value(speech, condition.quantity, condition.limit)
        return _beside(speech, each.value, condition.limit, limit, parts)
    if each.allowed is None:
        return speech.say("{name} {value} on {day}, outside the range of the tub", **parts)
    low, high = each.allowed.low, each.allowed.high
    bound = low if low is not None and each.value <= low else high
    shown = _range(speech, condition.quantity, each.allowed)
    return _beside(speech, each.value, bound if bound is not None else each.value, shown, parts)


def _seen(speech: Speech, each: ReadingReason, today: date) -> str:
    """Return what was seen or smelt, in its own words."""
    # Loaded for this alone: its words bring the chemistry.
    from tubcare.words.water_values import observation  # noqa: PLC0415  see above

    name = each.condition.quantity
    return speech.say(
        "{name} on {day}: {seen}",
        name=measured_name(speech, name),
        day=day_and_month(speech, each.taken_on, today),
        seen=observation(speech, name, each.value),
    )


def _beside(speech: Speech, value: float, bound: float, shown: str, parts: dict[str, str]) -> str:
    if value < bound:
        return speech.say("{name} {value} on {day}, below {bound}", **parts, bound=shown)
    if value > bound:
        return speech.say("{name} {value} on {day}, above {bound}", **parts, bound=shown)
    return speech.say("{name} {value} on {day}, at the limit of {bound}", **parts, bound=shown)


def _range(speech: Speech, quantity: str, allowed: Range) -> str:
    low, high = allowed.low, allowed.high
    if low is not None and high is not None:
        return speech.say(
            "{low} to {high}",
            low=measured_figure(speech, quantity, low),
            high=measured_value(speech, quantity, high),
        )
    end = high if low is None else low
    return "" if end is None else measured_value(speech, quantity, end)
