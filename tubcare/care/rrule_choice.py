"""The plain choices behind most calendar rules, and the RFC 5545 rule that each stands for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.rrule_parts import Frequency, RuleParts, parse_rule
from tubcare.care.terms import Period
from tubcare.errors import InputError

if TYPE_CHECKING:
    from datetime import date

_DAY_NAMES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_FREQUENCIES = {
    Period.DAY: Frequency.DAILY,
    Period.WEEK: Frequency.WEEKLY,
    Period.MONTH: Frequency.MONTHLY,
    Period.YEAR: Frequency.YEARLY,
}
_PERIODS = {frequency: period for period, frequency in _FREQUENCIES.items()}
#: Which of its weekday in a month: the first to the fifth, or the last.
NTHS = (1, 2, 3, 4, 5, -1)
LAST_DAY = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarChoice:
    """Every so many days, weeks, months or years, and on which days of these.

    `weekdays` (Monday 0) are those of a week, or the one that `nth` counts in a month: 1 to 5,
    or -1 for the last. Without `nth` the day is `month_day`, -1 for the last of the month. `month`
    is that of a year.
    """

    period: Period
    every: int = 1
    weekdays: tuple[int, ...] = ()
    nth: int = 0
    month_day: int = 1
    month: int = 1


def rule_of(choice: CalendarChoice) -> str:
    """Return a choice as a rule, such as ``FREQ=MONTHLY;BYDAY=1SA``.

    Raises
    ------
    InputError
        For a week without a day.
    """
    parts = [f"FREQ={_FREQUENCIES[choice.period]}"]
    if choice.every != 1:
        parts.append(f"INTERVAL={choice.every}")
    if choice.period is Period.YEAR:
        parts.append(f"BYMONTH={choice.month}")
    if choice.period is Period.WEEK:
        if not choice.weekdays:
            raise InputError("BYDAY", "choose at least one day of the week")
        days = ",".join(_DAY_NAMES[day] for day in sorted(choice.weekdays))
        parts.append(f"BYDAY={days}")
    elif choice.period is not Period.DAY and choice.nth:
        parts.append(f"BYDAY={choice.nth}{_DAY_NAMES[choice.weekdays[0]]}")
    elif choice.period is not Period.DAY:
        parts.append(f"BYMONTHDAY={choice.month_day}")
    return ";".join(parts)


def choice_of(rule: str, start: date) -> CalendarChoice | None:
    """Return the choice that a rule stands for, None for a rule that says more.

    `start` gives what the rule leaves out. Raises `InputError` for a rule that cannot be used.
    """
    parts = parse_rule(rule)
    if (
        parts.count is not None
        or parts.until is not None
        or parts.by_week_no
        or parts.by_year_day
        or parts.by_set_pos
        or (parts.week_start and parts.interval > 1)
    ):
        return None
    match parts.frequency:
        case Frequency.DAILY:
            plain = not (parts.by_month or parts.by_month_day or parts.by_day)
            return _made(parts) if plain else None
        case Frequency.WEEKLY:
            days = tuple(day for day, _ in parts.by_day) or (start.weekday(),)
            return None if parts.by_month else _made(parts, weekdays=days)
        case Frequency.MONTHLY:
            return None if parts.by_month else _in_month(parts, start, 1)
        case Frequency.YEARLY:
            return _in_year(parts, start)


def _in_year(parts: RuleParts, start: date) -> CalendarChoice | None:
    if len(parts.by_month) > 1 or (not parts.by_month and (parts.by_day or parts.by_month_day)):
        return None
    return _in_month(parts, start, parts.by_month[0] if parts.by_month else start.month)


def _in_month(parts: RuleParts, start: date, month: int) -> CalendarChoice | None:
    if parts.by_day and parts.by_month_day:
        return None
    if parts.by_day:
        (day, nth), *more = parts.by_day
        if more or nth not in NTHS:
            return None
        return _made(parts, weekdays=(day,), nth=nth, month=month)
    days = parts.by_month_day or (start.day,)
    if len(days) > 1 or days[0] < LAST_DAY:
        return None
    return _made(parts, month_day=days[0], month=month)


def _made(
    parts: RuleParts,
    *,
    weekdays: tuple[int, ...] = (),
    nth: int = 0,
    month_day: int = 1,
    month: int = 1,
) -> CalendarChoice:
    return CalendarChoice(
        period=_PERIODS[parts.frequency],
        every=parts.interval,
        weekdays=weekdays,
        nth=nth,
        month_day=month_day,
        month=month,
    )
