"""Why-sentences, rules in plain language, and that no part of a rule is left untold."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tubcare.care.condition import parse_condition
from tubcare.care.facts import Range
from tubcare.care.model import Occurrence
from tubcare.care.reasons import (
    ElapsedReason,
    FirstReason,
    OnceReason,
    ReadingReason,
    Reason,
    RuleReason,
    SeasonReason,
    UseReason,
)
from tubcare.care.rrule_parts import parse_rule
from tubcare.care.terms import Counter, Edge, InspectionResult, Period, Scope, Status
from tubcare.care.triggers import (
    CalendarTrigger,
    ElapsedTrigger,
    Interval,
    OnceTrigger,
    ReadingTrigger,
    SeasonTrigger,
    Trigger,
    UseTrigger,
)
from tubcare.errors import InputError
from tubcare.values import TaskId
from tubcare.words.locale import Speech, speech_for
from tubcare.words.sentences.recurrence import recurrence
from tubcare.words.sentences.rules import task_rule, trigger
from tubcare.words.sentences.why import reason, why

TODAY = date(2026, 6, 12)
START = date(2026, 4, 15)
DAYS_30 = Interval(count=30, period=Period.DAY)
PH = parse_condition("ph outside range")
FLOW = parse_condition("flow_l_min < 8")
ENGLISH = speech_for({}, chosen="en_GB", currency_code="EUR")
ALL = [ENGLISH] + [speech_for({}, chosen=tag) for tag in ("en_US", "de_DE", "fi_FI", "fr_FR")]

REASONS: tuple[tuple[Reason, str], ...] = (
    (
        ElapsedReason(every=DAYS_30, since=date(2026, 5, 13), since_closing=True),
        "30 days since the closing on 13 May; every 30 days",
    ),
    (
        RuleReason(rule="FREQ=WEEKLY;BYDAY=FR", on=TODAY),
        "set for 12 Jun; every week on Friday",
    ),
    (
        RuleReason(rule="FREQ=YEARLY", on=START, moved_from=date(2026, 2, 2)),
        (
            "set for 15 Apr; every year on 2 February; "
            "moved from 2 Feb, which lies outside its season"
        ),
    ),
    (
        ElapsedReason(every=DAYS_30, since=date(2026, 5, 12)),
        "31 days since 12 May; every 30 days",
    ),
    (
        ElapsedReason(every=DAYS_30, since=TODAY),
        "counted from 12 Jun; every 30 days",
    ),
    (
        ElapsedReason(
            every=Interval(count=1, period=Period.MONTH),
            since=date(2026, 5, 1),
            since_opening=True,
            paused_days=1,
            result=InspectionResult.DOUBTFUL,
        ),
        (
            "41 days since the opening on 1 May; every month; 1 day outside its season not "
            "counted; the last inspection was doubtful"
        ),
    ),
    (
        UseReason(counter=Counter.DIP, amount=40, used=41, daily_rate=2),
        "41 dips since the last time; every 40 dips",
    ),
    (
        SeasonReason(edge=Edge.CLOSING, edge_on=date(2026, 10, 31), offset_days=-3, planned=True),
        "3 days before the planned closing on 31 Oct",
    ),
    (
        SeasonReason(edge=Edge.OPENING, edge_on=START, offset_days=0, planned=False),
        "with opening on 15 Apr",
    ),
    (
        SeasonReason(
            edge=Edge.FROST_WATCH,
            edge_on=date(2026, 9, 20),
            offset_days=-1,
            planned=True,
            risk_percent=10,
        ),
        "1 day before the start of the frost watch on 20 Sept (10% risk)",
    ),
    (
        ReadingReason(
            condition=PH, value=7.9, taken_on=date(2026, 5, 4), allowed=Range(low=7.2, high=7.6)
        ),
        "pH 7.9 on 4 May, above 7.2 to 7.6",
    ),
    (
        ReadingReason(
            condition=PH, value=6.9, taken_on=date(2026, 5, 4), allowed=Range(low=7.2, high=None)
        ),
        "pH 6.9 on 4 May, below 7.2",
    ),
    (
        ReadingReason(condition=FLOW, value=6, taken_on=date(2026, 5, 4)),
        "flow 6\N{NO-BREAK SPACE}l/min on 4 May, below 8\N{NO-BREAK SPACE}l/min",
    ),
    (OnceReason(on=TODAY), "set for 12 Jun"),
    (FirstReason(on=TODAY), "for the first time, planned for 12 Jun"),
)


@pytest.mark.parametrize(("each", "told"), REASONS)
def test_each_reason_has_its_sentence(english: Speech, each: Reason, told: str) -> None:
    assert reason(english, each, TODAY) == told


@pytest.mark.parametrize("speech", ALL, ids=lambda speech: speech.formats_tag)
def test_each_reason_can_be_told_in_every_language(speech: Speech) -> None:
    told = [reason(speech, each, TODAY) for each, _ in REASONS]
    assert all(text and "{" not in text for text in told)
    assert len(set(told)) == len(told)


def test_a_forecast_date_is_told_as_about(english: Speech) -> None:
    each = Occurrence(
        task_id=TaskId(1),
        key="start:1",
        status=Status.COMING,
        opens_on=TODAY,
        due_on=date(2026, 7, 12),
        late_after=None,
        overdue_after=None,
        reason=UseReason(counter=Counter.DIP, amount=40, used=20, daily_rate=1),
        about=True,
    )
    told = why(english, each, TODAY)
    assert told == "20 dips since the last time; every 40 dips; about 12 Jul at the recent pace"


def test_put_offs_and_missed_dates_are_told(english: Speech) -> None:
    each = Occurrence(
        task_id=TaskId(1),
        key="start:1",
        status=Status.DUE,
        opens_on=TODAY,
        due_on=date(2026, 7, 12),
        late_after=None,
        overdue_after=None,
        reason=OnceReason(on=TODAY),
        put_offs=2,
        put_off_from=TODAY,
        missed=(date(2026, 6, 5),),
    )
    assert why(english, each, TODAY) == (
        "set for 12 Jun; put off 2 times, first from 12 Jun; 1 earlier date was missed"
    )


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        ("FREQ=DAILY", "every day"),
        ("FREQ=DAILY;INTERVAL=10;COUNT=5", "every 10 days, 5 times in all"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH", "every 2 weeks on Monday and Thursday"),
        ("FREQ=WEEKLY", "every week on Wednesday"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "every week from Monday to Friday"),
        (
            "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
            "every 2 weeks on Wednesday, weeks counted from Sunday",
        ),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", "on the last day of every month"),
        ("FREQ=MONTHLY;BYMONTHDAY=1,15", "on days 1 and 15 of every month"),
        ("FREQ=MONTHLY;BYDAY=1SA,3SA", "on the first and third Saturday of every month"),
        ("FREQ=MONTHLY;INTERVAL=3;BYDAY=-1SU", "every 3 months on the last Sunday"),
        (
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
            "on the last day from Monday to Friday of every month",
        ),
        ("FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", "every month on day 13, only on Friday"),
        ("FREQ=YEARLY", "every year on 15 April"),
        ("FREQ=YEARLY;BYMONTH=10;BYMONTHDAY=31", "every year on 31 October"),
        ("FREQ=YEARLY;BYDAY=1SU;BYMONTH=5", "every year on the first Sunday in May"),
        (
            "FREQ=WEEKLY;BYDAY=FR;BYMONTH=1,2,3,4,5,9,10,11,12",
            "every week on Friday from September to May",
        ),
        ("FREQ=WEEKLY;BYDAY=FR;BYMONTH=8,6,7", "every week on Friday from June to August"),
        ("FREQ=WEEKLY;BYDAY=FR;BYMONTH=6,7", "every week on Friday in June and July"),
        (
            "FREQ=WEEKLY;BYDAY=FR;BYMONTH=1,2,3,5",
            "every week on Friday in January, February, March and May",
        ),
        (
            "FREQ=MONTHLY;BYMONTHDAY=1;BYMONTH=1,2,3,4,5,6,7,8,9,10,11,12",
            "every month on day 1 from January to December",
        ),
        ("FREQ=YEARLY;BYDAY=20MO", "every year on Monday, counted as number 20 of the year"),
        ("FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "every year in week 20, only on Monday"),
        (
            "FREQ=YEARLY;BYYEARDAY=1,100;UNTIL=20300101",
            "every year on days 1 and 100 of the year, until 1 Jan 2030",
        ),
    ],
)
def test_calendar_rules_are_told_in_plain_language(english: Speech, rule: str, told: str) -> None:
    assert recurrence(english, rule, START) == told


MONTHS = "January February March April May June July August September October November December"
WEEKDAYS = "Monday Tuesday Wednesday Thursday Friday Saturday Sunday"
some = st.sampled_from


@st.composite
def rules(draw: st.DrawFn) -> str:
    """Draw a rule of random parts; not every one is valid."""
    parts = [f"FREQ={draw(some(['DAILY', 'WEEKLY', 'MONTHLY', 'YEARLY']))}"]
    parts.append(f"INTERVAL={draw(st.integers(1, 9))}")
    pools: dict[str, st.SearchStrategy[str]] = {
        "BYMONTH": st.integers(1, 12).map(str),
        "BYWEEKNO": st.integers(1, 53).map(str),
        "BYYEARDAY": st.integers(1, 366).map(str),
        "BYMONTHDAY": some([str(n) for n in (*range(1, 32), *range(-31, 0))]),
        "BYDAY": st.tuples(
            some(["", "1", "2", "-1", "7"]), some(["MO", "TU", "WE", "TH", "FR", "SA", "SU"])
        ).map("".join),
        "BYSETPOS": some(["1", "2", "-1", "-3"]),
    }
    for name, pool in pools.items():
        if draw(st.integers(0, 3)) == 0:
            values = draw(st.lists(pool, min_size=1, max_size=3, unique=True))
            parts.append(f"{name}={','.join(values)}")
    return ";".join(parts)


def months_in(told: str) -> set[int]:
    """Return the months that a sentence names, and those between the two of a span."""
    named = {at for at, name in enumerate(MONTHS.split(), 1) if name in told}
    for first in range(1, 13):
        for last in range(1, 13):
            if f" from {MONTHS.split()[first - 1]} to {MONTHS.split()[last - 1]}" in told:
                named |= {(first + at - 1) % 12 + 1 for at in range((last - first) % 12 + 1)}
    return named


def is_valid(rule: str) -> bool:
    try:
        parse_rule(rule)
    except InputError:
        return False
    return True


@given(rules())
def test_no_part_of_a_rule_is_left_untold(rule: str) -> None:
    assume(is_valid(rule))
    parts = parse_rule(rule)
    told = recurrence(ENGLISH, rule, START)
    assert set(parts.by_month) <= months_in(told)
    for day, _ in parts.by_day:
        assert WEEKDAYS.split()[day] in told or "every day of the week" in told or "Friday" in told
    for number in (*parts.by_week_no, *parts.by_year_day):
        assert str(number) in told
    for day in parts.by_month_day:
        if parts.by_month and day > 0:
            assert str(day) in told
    if parts.interval > 1:
        assert f"every {parts.interval} " in told
    if parts.by_set_pos:
        assert "only " in told or "from Monday to Friday" in told


@given(rules(), st.sampled_from(ALL))
def test_any_rule_can_be_told_in_every_language(rule: str, speech: Speech) -> None:
    assume(is_valid(rule))
    told = recurrence(speech, rule, START)
    assert told
    assert "{" not in told


TRIGGERS: tuple[tuple[Trigger, str], ...] = (
    (CalendarTrigger(rule="FREQ=DAILY", start=START), "every day"),
    (ElapsedTrigger(every=DAYS_30), "every 30 days"),
    (UseTrigger(counter=Counter.DIP, amount=40), "after 40 dips"),
    (UseTrigger(counter=Counter.PUMP_H, amount=0.5), "after 0.5 pump hours"),
    (SeasonTrigger(edge=Edge.CLOSING, offset_days=-7), "7 days before closing"),
    (SeasonTrigger(edge=Edge.OPENING, offset_days=1), "1 day after opening"),
    (
        SeasonTrigger(edge=Edge.FROST_DRY, risk_percent=10),
        "with the day by which all must be dry (10% risk)",
    ),
    (ReadingTrigger(condition=PH), "when pH is outside the range of the tub"),
    (ReadingTrigger(condition=FLOW), "when flow is below 8\N{NO-BREAK SPACE}l/min"),
    (OnceTrigger(on=START), "once, on 15 Apr 2026"),
)


@pytest.mark.parametrize(("each", "told"), TRIGGERS)
def test_each_trigger_has_its_phrase(english: Speech, each: Trigger, told: str) -> None:
    assert trigger(english, each) == told


def test_a_rule_names_all_its_triggers_and_its_part_of_the_year(english: Speech) -> None:
    both = (ElapsedTrigger(every=DAYS_30), UseTrigger(counter=Counter.DIP, amount=40))
    assert task_rule(english, both, Scope.IN_SEASON) == (
        "every 30 days or after 40 dips, whichever comes first; in season"
    )
    assert task_rule(english, both[:1]) == "every 30 days"
