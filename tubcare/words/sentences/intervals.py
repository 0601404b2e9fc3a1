"""Intervals and distances in plain language, as the sentences on rules and reasons share them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.terms import Period
from tubcare.words.numbers import percent

if TYPE_CHECKING:
    from tubcare.care.triggers import Interval
    from tubcare.words.locale import Speech


def every(speech: Speech, interval: Interval) -> str:
    """Return an interval as how often: every 30 days, every month."""
    n = interval.count
    match interval.period:
        case Period.DAY:
            return speech.say_count("every day", "every {n} days", n)
        case Period.WEEK:
            return speech.say_count("every week", "every {n} weeks", n)
        case Period.MONTH:
            return speech.say_count("every month", "every {n} months", n)
        case Period.YEAR:
            return speech.say_count("every year", "every {n} years", n)


def beside_edge(speech: Speech, edge: str, offset_days: int, risk_percent: int | None) -> str:
    """Return a day beside the edge of a season, such as "7 days before the planned closing"."""
    if risk_percent is not None:
        risk = percent(speech, risk_percent / 100.0)
        edge = speech.say("{edge} ({risk} risk)", edge=edge, risk=risk)
    if offset_days == 0:
        return speech.say("with {edge}", edge=edge)
    if offset_days < 0:
        return speech.say_count(
            "{n} day before {edge}", "{n} days before {edge}", -offset_days, edge=edge
        )
    return speech.say_count(
        "{n} day after {edge}", "{n} days after {edge}", offset_days, edge=edge
    )
