"""A recurrence rule (RFC 5545, section 3.3.10) in plain language; no part is left untold."""

from __future__ import annotations

import calendar
from datetime import date
from typing import TYPE_CHECKING

from tubcare.care.rrule_parts import Frequency, RuleParts, parse_rule
from tubcare.care.terms import Period
from tubcare.care.triggers import Interval
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.sentences.intervals import every
from tubcare.words.sentences.rule_months import in_months
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech

_ON_WEEKDAY = (
    term("on weekday", "Monday"),
    term("on weekday", "Tuesday"),
    term("on weekday", "Wednesday"),
    term("on weekday", "Thursday"),
    term("on weekday", "Friday"),
    term("on weekday", "Saturday"),
    term("on weekday", "Sunday"),
)
_ORDINALS = {
    1: term("on the nth weekday", "first"),
    2: term("on the nth weekday", "second"),
    3: term("on the nth weekday", "third"),
    4: term("on the nth weekday", "fourth"),
    5: term("on the nth weekday", "fifth"),
    -1: term("on the nth weekday", "last"),
    -2: term("on the nth weekday", "second to last"),
}
_POSITIONS = {
    1: term("position", "the first"),
    2: term("position", "the second"),
    3: term("position", "the third"),
    -1: term("position", "the last"),
    -2: term("position", "the second to last"),
}
_PERIODS = {
    Frequency.DAILY: Period.DAY,
    Frequency.WEEKLY: Period.WEEK,
    Frequency.MONTHLY: Period.MONTH,
    Frequency.YEARLY: Period.YEAR,
}
_WORKING_DAYS = tuple((day, 0) for day in range(5))
_EVERY_DAY = 7
# Any year with 29 February, so that each day of the year can be written.
_LEAP_YEAR = 2028


def recurrence(speech: Speech, rule: str, start: date) -> str:
    """Return a rule as a phrase: every 2 weeks on Monday and Thursday.

    `start` gives what the rule leaves out: its weekday, day of the month or of the year.

    Raises
    ------
    InputError
        For a rule that cannot be used, naming the part.
    """
    parts = parse_rule(rule)
    told = _dates(speech, parts, start)
    if parts.by_set_pos and not _is_nth_working_day(parts):
        told = speech.say(
            "{rule}, only {positions} of these dates",
            rule=told,
            positions=all_of(speech, [_position(speech, at) for at in parts.by_set_pos]),
        )
    if parts.frequency is Frequency.WEEKLY and parts.interval > 1 and parts.week_start:
        told = speech.say(
            "{rule}, weeks counted from {weekday}",
            rule=told,
            weekday=speech.words.days["stand-alone"]["wide"][parts.week_start],
        )
    if parts.count is not None:
        return speech.say_count(
            "{rule}, {n} time in all", "{rule}, {n} times in all", parts.count, rule=told
        )
    if parts.until is not None:
        return speech.say("{rule}, until {day}", rule=told, day=medium_date(speech, parts.until))
    return told


def _dates(speech: Speech, parts: RuleParts, start: date) -> str:
    match parts.frequency:
        case Frequency.DAILY:
            return _daily(speech, parts)
        case Frequency.WEEKLY:
            days = parts.by_day or ((start.weekday(), 0),)
            told = _joined(speech, _every(speech, parts), _weekdays(speech, days))
            return in_months(speech, told, parts.by_month)
        case Frequency.MONTHLY:
            return _monthly(speech, parts, start)
        case Frequency.YEARLY:
            return _yearly(speech, parts, start)


def _every(speech: Speech, parts: RuleParts) -> str:
    return every(speech, Interval(count=parts.interval, period=_PERIODS[parts.frequency]))


def _daily(speech: Speech, parts: RuleParts) -> str:
    told = _every(speech, parts)
    if parts.by_month_day:
        told = _only(speech, told, _month_days(speech, parts.by_month_day))
    if parts.by_day:
        told = _only(speech, told, _weekdays(speech, parts.by_day))
    return in_months(speech, told, parts.by_month)


def _monthly(speech: Speech, parts: RuleParts, start: date) -> str:
    days = _days(speech, parts, start)
    if parts.interval == 1 and not parts.by_month and not (parts.by_day and parts.by_month_day):
        return speech.say("{days} of every month", days=days)
    return in_months(speech, _joined(speech, _every(speech, parts), days), parts.by_month)


def _yearly(speech: Speech, parts: RuleParts, start: date) -> str:
    every = _every(speech, parts)
    if parts.by_year_day or parts.by_week_no:
        return in_months(
            speech, _joined(speech, every, _in_year(speech, parts, start)), parts.by_month
        )
    single = _single_date(parts, start)
    if single is not None:
        shown = speech.say("on {day}", day=_day_of_year(speech, *single))
        return _joined(speech, every, shown)
    days = _days(speech, parts, start)
    if parts.by_day and not parts.by_month and not parts.by_month_day:
        days = speech.say("{days} of the year", days=days)
    return in_months(speech, _joined(speech, every, days), parts.by_month)


def _in_year(speech: Speech, parts: RuleParts, start: date) -> str:
    """Return the days that a yearly rule names by week or by number."""
    told: list[str] = []
    if parts.by_year_day:
        days = all_of(speech, [str(day) for day in parts.by_year_day])
        told.append(
            speech.say_count(
                "on day {days} of the year",
                "on days {days} of the year",
                len(parts.by_year_day),
                days=days,
            )
        )
    if parts.by_month_day:
        told.append(_month_days(speech, parts.by_month_day))
    weekdays = parts.by_day
    if parts.by_week_no:
        weeks = all_of(speech, [str(week) for week in parts.by_week_no])
        told.append(
            speech.say_count(
                "in week {weeks}", "in weeks {weeks}", len(parts.by_week_no), weeks=weeks
            )
        )
        if not (weekdays or parts.by_year_day or parts.by_month_day):
            weekdays = ((start.weekday(), 0),)
    if weekdays:
        told.append(_weekdays(speech, weekdays))
    shown, *limits = told
    for limit in limits:
        shown = _only(speech, shown, limit)
    return shown


def _days(speech: Speech, parts: RuleParts, start: date) -> str:
    """Return the days of a month (or of a year) that a rule names, or its start has."""
    if _is_nth_working_day(parts):
        return speech.say(
            "on the {ordinal} day from Monday to Friday",
            ordinal=say_term(speech, _ORDINALS[parts.by_set_pos[0]]),
        )
    if not parts.by_day:
        return _month_days(speech, parts.by_month_day or (start.day,))
    weekdays = _weekdays(speech, parts.by_day, each=True)
    if not parts.by_month_day:
        return weekdays
    return _only(
        speech,
        _month_days(speech, parts.by_month_day),
        _weekdays(speech, parts.by_day),
    )


def _month_days(speech: Speech, days: Sequence[int]) -> str:
    told = []
    counted = [day for day in days if day > 0]
    if counted:
        shown = [speech.say_in("day of the month", "{n}", n=day) for day in counted]
        told.append(
            speech.say_count(
                "on day {days}", "on days {days}", len(counted), days=all_of(speech, shown)
            )
        )
    for day in sorted((day for day in days if day < 0), reverse=True):
        if day == -1:
            told.append(speech.say("on the last day"))
        else:
            told.append(speech.say("on day {n} from the end", n=-day))
    return all_of(speech, told)


def _weekdays(speech: Speech, days: Sequence[tuple[int, int]], *, each: bool = False) -> str:
    """Return weekdays, plain or numbered; `each` where a month or year holds several of them."""
    told = []
    plain = [day for day, number in days if number == 0]
    if tuple(days) == _WORKING_DAYS:
        return speech.say("from Monday to Friday")
    if len(plain) == _EVERY_DAY == len(days):
        return speech.say("on every day of the week")
    if plain:
        names = all_of(speech, [say_term(speech, _ON_WEEKDAY[day]) for day in plain])
        told.append(
            speech.say("on each {weekdays}", weekdays=names)
            if each
            else speech.say("on {weekdays}", weekdays=names)
        )
    for day in range(_EVERY_DAY):
        numbers = [number for weekday, number in days if weekday == day and number]
        if numbers:
            told.append(_numbered(speech, day, numbers))
    return all_of(speech, told)


def _numbered(speech: Speech, day: int, numbers: Sequence[int]) -> str:
    weekday = say_term(speech, _ON_WEEKDAY[day])
    if all(number in _ORDINALS for number in numbers):
        in_order = sorted(numbers, key=lambda number: (number < 0, number))
        ordinals = [say_term(speech, _ORDINALS[number]) for number in in_order]
        return speech.say(
            "on the {ordinal} {weekday}", ordinal=all_of(speech, ordinals), weekday=weekday
        )
    shown = [_nth(speech, number) for number in numbers]
    return speech.say(
        "on {weekday}, counted as {numbers}", weekday=weekday, numbers=all_of(speech, shown)
    )


def _nth(speech: Speech, number: int) -> str:
    if number > 0:
        return speech.say("number {n}", n=number)
    return speech.say("number {n} from the end", n=-number)


def _position(speech: Speech, at: int) -> str:
    known: Term | None = _POSITIONS.get(at)
    return _nth(speech, at) if known is None else say_term(speech, known)


def _joined(speech: Speech, every: str, days: str) -> str:
    return speech.say("{every} {days}", every=every, days=days)


def _only(speech: Speech, told: str, limit: str) -> str:
    return speech.say("{rule}, only {limit}", rule=told, limit=limit)


def _is_nth_working_day(parts: RuleParts) -> bool:
    """Return whether the rule is the usual way of writing the nth day from Monday to Friday."""
    return (
        parts.frequency is Frequency.MONTHLY
        and parts.by_day == _WORKING_DAYS
        and not parts.by_month_day
        and len(parts.by_set_pos) == 1
        and parts.by_set_pos[0] in _ORDINALS
    )


def _single_date(parts: RuleParts, start: date) -> tuple[int, int] | None:
    """Return the month and day of a yearly rule that names just one date of the year."""
    if parts.by_day or len(parts.by_month) > 1 or len(parts.by_month_day) > 1:
        return None
    if parts.by_month_day and not parts.by_month:
        return None
    month = parts.by_month[0] if parts.by_month else start.month
    day = parts.by_month_day[0] if parts.by_month_day else start.day
    longest = calendar.monthrange(_LEAP_YEAR, month)[1]
    return (month, day) if 1 <= day <= longest else None


def _day_of_year(speech: Speech, month: int, day: int) -> str:
    from babel.dates import format_skeleton  # noqa: PLC0415  Babel costs 20 ms

    return format_skeleton("MMMMd", date(_LEAP_YEAR, month, day), locale=speech.words)
