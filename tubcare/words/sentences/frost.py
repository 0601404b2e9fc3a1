"""What is told about frost: dates, what they rest on, and how long still water has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.energy.frost_risk import ENOUGH_SEASONS, Method
from tubcare.energy.weather_columns import Question
from tubcare.words.dates import medium_date, minutes
from tubcare.words.numbers import number, percent
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
    from datetime import date

    from tubcare.energy.freezing import Freeze
    from tubcare.energy.frost_plan import FrostChoices
    from tubcare.energy.frost_risk import RiskDate
    from tubcare.words.locale import Speech

_MINUTES_ONLY_BELOW_H = 10.0
_HOURS_A_DAY = 24.0


def freezing_point(speech: Speech) -> str:
    """Return the temperature at which water freezes."""
    return quantity(speech, 0.0, Unit.CELSIUS, 0)


def date_or_never(speech: Speech, on: date | None) -> str:
    """Return a date to plan by, or that there is none."""
    return speech.say("none at this risk") if on is None else medium_date(speech, on)


def rests_on(speech: Speech, found: RiskDate | None, risk_percent: int) -> str:
    """Return what a date rests on: seasons, method, and how sure it is."""
    if found is None:
        return speech.say("Typed in by hand; no risk is known.")
    if found.method is Method.NEVER:
        return speech.say(
            "Such frost came in fewer than {risk} of the {n} winters on record.",
            risk=percent(speech, risk_percent / 100.0),
            n=found.seasons,
        )
    told = [_risk(speech, found, risk_percent)]
    if found.seasons < ENOUGH_SEASONS:
        told.append(
            speech.say(
                "With under {enough} winters only a range can be told; its early end counts.",
                enough=ENOUGH_SEASONS,
            )
        )
    if found.method is Method.NORMAL_FIT:
        told.append(
            speech.say("The risk is smaller than the record can count, so a fitted curve is used.")
        )
    if found.method is Method.MIXED_NORMAL:
        told.append(
            speech.say_count(
                "{n} winter had no such frost, so a fitted curve is used.",
                "{n} winters had no such frost, so a fitted curve is used.",
                found.frost_free,
            )
        )
    return " ".join(told)


def _risk(speech: Speech, found: RiskDate, risk_percent: int) -> str:
    return speech.say_count(
        "At {risk} risk, from {n} winter on record.",
        "At {risk} risk, from {n} winters on record.",
        found.seasons,
        risk=percent(speech, risk_percent / 100.0),
    )


def date_range_told(speech: Speech, earliest: date | None, latest: date | None) -> str:
    """Return the range that covers nine cases of ten, empty when there is none."""
    if earliest is None or latest is None:
        return ""
    return speech.say(
        "range {first} to {last}",
        first=medium_date(speech, earliest),
        last=medium_date(speech, latest),
    )


def meaning_of_dates(speech: Speech, choices: FrostChoices) -> tuple[str, str]:
    """Return what "watch from" and "dry by" stand for."""
    level = quantity(speech, choices.dry_level_c, Unit.CELSIUS, 0)
    return (
        speech.say(
            "First {zero}: insulate, plan for a power cut. From here on a stopped pump must not go"
            " unnoticed.",
            zero=freezing_point(speech),
        ),
        speech.say_count(
            "First {level}, less {n} day to do the job: drain and close before it.",
            "First {level}, less {n} days to do the job: drain and close before it.",
            choices.lead_days,
            level=level,
        ),
    )


def hours_told(speech: Speech, hours: float | None) -> str:
    """Return a length of time that a person plans a night by; None: it does not get there."""
    if hours is None:
        return speech.say("not at this air temperature")
    if hours < _MINUTES_ONLY_BELOW_H:
        return speech.say("about {time}", time=minutes(speech, max(5, int(hours * 12) * 5)))
    if hours < 2 * _HOURS_A_DAY:
        return speech.say("about {n} hours", n=number(speech, hours, 0))
    return speech.say("about {n} days", n=number(speech, hours / _HOURS_A_DAY, 1))


def _time_told(speech: Speech, hours: float) -> str:
    if hours < _MINUTES_ONLY_BELOW_H:
        return minutes(speech, max(5, int(hours * 12) * 5))
    if hours < 2 * _HOURS_A_DAY:
        return quantity(speech, hours, Unit.HOUR, 0)
    return speech.say("{n} days", n=number(speech, hours / _HOURS_A_DAY, 1))


def freeze_told(speech: Speech, name: str, freeze: Freeze) -> str:
    """Return one line: the part, when it stands at 0 °C with the range, and when it is ice."""
    if freeze.to_zero_h is None:
        return speech.say("{part}: not at this air temperature", part=name)
    told = speech.say(
        "{part}: {time} to {zero}",
        part=name,
        time=hours_told(speech, freeze.to_zero_h),
        zero=freezing_point(speech),
    )
    around = freeze.zero_range
    if around is not None:
        low, high = _time_told(speech, around.low), _time_told(speech, around.high)
        told = speech.say("{when} ({low} to {high})", when=told, low=low, high=high)
    if not freeze.to_ice_h:
        return told
    later = hours_told(speech, freeze.to_ice_h)
    if freeze.ice_share < 1.0:
        share = percent(speech, freeze.ice_share)
        return speech.say(
            "{when}; {share} of it ice {later} later", when=told, share=share, later=later
        )
    return speech.say("{when}; ice throughout {later} later", when=told, later=later)


def night_water_told(speech: Speech, water_c: float, *, measured: bool, drained: bool) -> str:
    """Return which water the hours of a night without power rest on [°C]."""
    if drained:
        return speech.say(
            "The tub is closed: these are the hours of a filled one. Water left in a hose, the "
            "pump or a low place freezes like theirs."
        )
    water = quantity(speech, water_c, Unit.CELSIUS)
    if measured:
        return speech.say("Water {water} by the newest reading.", water=water)
    return speech.say("Water {water}, the set point for want of a reading.", water=water)


def question_told(speech: Speech, question: Question) -> str:
    """Return what has to be answered about a file before it can be read."""
    match question:
        case Question.TIME_COLUMN:
            return speech.say("Which column holds the date?")
        case Question.TEMPERATURE_COLUMN:
            return speech.say("Which column holds the temperature?")
        case Question.TEMPERATURE_UNIT:
            return speech.say("Are the temperatures in °C or in °F?")
        case Question.DATE_ORDER:
            return speech.say("Does the day come first in a date, or the month?")
