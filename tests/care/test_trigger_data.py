"""Triggers and rules as plain data, as the store keeps them."""

from __future__ import annotations

import json

import pytest

from tests.care.builders import day, every, rule, task
from tubcare.care.model import (
    Counter,
    Edge,
    InspectionResult,
    Interval,
    OnceTrigger,
    OutOfScope,
    Period,
    ReadingTrigger,
    Scope,
    SeasonTrigger,
    Task,
    Tolerance,
    Trigger,
    UseTrigger,
    parse_condition,
)
from tubcare.care.trigger_data import (
    rules_from_data,
    rules_to_data,
    trigger_from_data,
    trigger_to_data,
)
from tubcare.errors import InputError, OutOfRangeError

TRIGGERS: tuple[Trigger, ...] = (
    rule("FREQ=MONTHLY;BYDAY=1SA"),
    every(3, Period.MONTH),
    UseTrigger(counter=Counter.DIP, amount=40),
    SeasonTrigger(edge=Edge.CLOSING, offset_days=-7),
    SeasonTrigger(edge=Edge.FROST_DRY, risk_percent=10),
    ReadingTrigger(condition=parse_condition("ph outside range")),
    OnceTrigger(on=day("2026-05-01")),
)


@pytest.mark.parametrize("trigger", TRIGGERS, ids=lambda each: type(each).__name__)
def test_a_trigger_comes_back_from_json_as_it_was(trigger: Trigger) -> None:
    assert trigger_from_data(json.loads(json.dumps(trigger_to_data(trigger)))) == trigger


def test_a_calendar_trigger_without_a_start_takes_the_start_of_the_task() -> None:
    data = {"kind": "calendar", "rule": "FREQ=DAILY"}
    assert trigger_from_data(data, starts_on=day("2026-01-01")) == rule("FREQ=DAILY")


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({}, "kind"),
        ({"kind": "moon"}, "kind"),
        ({"kind": "elapsed", "period": "day"}, "every"),
        ({"kind": "elapsed", "every": "3", "period": "day"}, "every"),
        ({"kind": "elapsed", "every": True, "period": "day"}, "every"),
        ({"kind": "elapsed", "every": 3, "period": "eon"}, "period"),
        ({"kind": "elapsed", "every": 3, "period": "day", "until": "now"}, "until"),
        ({"kind": "use", "counter": "wink", "amount": 1}, "counter"),
        ({"kind": "use", "counter": "dip", "amount": "x"}, "amount"),
        ({"kind": "season", "edge": "dawn"}, "edge"),
        ({"kind": "reading", "when": "ph ~ 7"}, "comparison"),
        ({"kind": "once", "on": "1 May"}, "on"),
        ({"kind": "once", "on": "0001-01-01"}, "on"),
        ({"kind": "calendar", "rule": "FREQ=DAILY"}, "start"),
        ({"kind": "calendar", "rule": "FREQ=HOURLY", "start": "2026-01-01"}, "FREQ"),
    ],
)
def test_data_that_cannot_be_used_names_its_field(data: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        trigger_from_data(data)

    assert caught.value.field == field


@pytest.mark.parametrize(
    "data",
    [
        {"kind": "elapsed", "every": 0, "period": "day"},
        {"kind": "elapsed", "every": 51, "period": "year"},
        {"kind": "use", "counter": "dip", "amount": 0},
        {"kind": "use", "counter": "dip", "amount": float("nan")},
        {"kind": "season", "edge": "opening", "offset_days": 400},
        {"kind": "season", "edge": "frost_dry", "risk_percent": 0},
    ],
)
def test_numbers_out_of_range_are_refused(data: dict[str, object]) -> None:
    with pytest.raises(OutOfRangeError):
        trigger_from_data(data)


def _again(each: Task) -> Task:
    data = json.loads(json.dumps(rules_to_data(each)))
    return Task(
        id=each.id,
        tub_id=each.tub_id,
        title=each.title,
        category=each.category,
        starts_on=each.starts_on,
        **rules_from_data(data),
    )


def test_all_rules_of_a_task_come_back_from_json_as_they_were() -> None:
    full = task(
        *TRIGGERS,
        scope=Scope.IN_SEASON,
        out_of_scope=OutOfScope.STOP_CLOCK,
        tolerance=Tolerance(on_time_days=2, overdue_days=5),
        no_grace=True,
        cosmetic=True,
        safety=True,
        round_name="Sunday round",
        minutes=12,
        result_intervals={InspectionResult.BAD: Interval(count=2, period=Period.WEEK)},
    )
    assert _again(full) == full


def test_rules_that_are_left_out_have_their_defaults() -> None:
    plain = task(every(30))
    assert _again(plain) == plain


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({}, "triggers"),
        ({"triggers": "daily"}, "triggers"),
        ({"triggers": ["daily"]}, "triggers"),
        ({"triggers": [], "colour": "red"}, "colour"),
        ({"triggers": [], "scope": "sometimes"}, "scope"),
        ({"triggers": [], "no_grace": 1}, "no_grace"),
        ({"triggers": [], "tolerance": {"on_time_days": 5, "overdue_days": 1}}, "overdue_days"),
        ({"triggers": [], "result_intervals": {"superb": {}}}, "superb"),
    ],
)
def test_rules_that_cannot_be_used_name_their_field(data: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        rules_from_data(data)

    assert caught.value.field == field


def test_a_task_needs_a_trigger() -> None:
    with pytest.raises(InputError, match="trigger"):
        task()


@pytest.mark.parametrize(
    ("starts_on", "first"), [("0001-01-01", None), ("2026-01-01", "9999-12-31")]
)
def test_a_task_needs_dates_that_can_be(starts_on: str, first: str | None) -> None:
    with pytest.raises(InputError, match="years 1900 to 2200"):
        task(every(1), starts_on=starts_on, first_due_on=first)
