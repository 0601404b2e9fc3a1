"""Triggers and the rest of a task's rules as plain data, for keeping as JSON or TOML."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from tubcare.care import fields
from tubcare.care.condition import parse_condition
from tubcare.care.terms import (
    Counter,
    Edge,
    InspectionResult,
    OutOfScope,
    Period,
    Scope,
)
from tubcare.care.triggers import (
    CalendarTrigger,
    ElapsedTrigger,
    Interval,
    OnceTrigger,
    ReadingTrigger,
    SeasonTrigger,
    Tolerance,
    Trigger,
    UseTrigger,
)
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from tubcare.care.model import Task

    Data = dict[str, object]


def trigger_to_data(trigger: Trigger) -> Data:
    """Return `trigger` as a dictionary of strings and numbers."""
    match trigger:
        case CalendarTrigger():
            data: Data = {
                "kind": "calendar",
                "rule": trigger.rule,
                "start": trigger.start.isoformat(),
            }
        case ElapsedTrigger():
            data = {"kind": "elapsed", **interval_to_data(trigger.every)}
        case UseTrigger():
            data = {"kind": "use", "counter": str(trigger.counter), "amount": trigger.amount}
        case SeasonTrigger():
            data = {
                "kind": "season",
                "edge": str(trigger.edge),
                "offset_days": trigger.offset_days,
            }
            if trigger.risk_percent is not None:
                data["risk_percent"] = trigger.risk_percent
        case ReadingTrigger():
            data = {"kind": "reading", "when": str(trigger.condition)}
        case _:
            data = {"kind": "once", "on": trigger.on.isoformat()}
    return data


def trigger_from_data(data: Mapping[str, object], *, starts_on: date | None = None) -> Trigger:
    """Return the trigger that `data` states.

    `starts_on` is the start of a calendar rule that has none of its own (a template's).

    Raises
    ------
    InputError, OutOfRangeError
        Naming the field that cannot be used.
    """
    kind = fields.text(data, "kind")
    reader = _READERS.get(kind)
    if reader is None:
        raise InputError("kind", f"{kind!r} is not one of {' '.join(_READERS)}")
    fields.only(data, _FIELDS[kind])
    return reader(data, starts_on)


def interval_to_data(interval: Interval) -> Data:
    """Return `interval` as ``{"every": 3, "period": "month"}``."""
    return {"every": interval.count, "period": str(interval.period)}


def interval_from_data(data: Mapping[str, object]) -> Interval:
    """Return the interval that `data` states; errors name the field."""
    return Interval(count=fields.whole(data, "every"), period=fields.word(data, "period", Period))


def tolerance_to_data(tolerance: Tolerance) -> Data:
    """Return `tolerance` as a dictionary of its two numbers of days."""
    return {"on_time_days": tolerance.on_time_days, "overdue_days": tolerance.overdue_days}


def tolerance_from_data(data: Mapping[str, object]) -> Tolerance:
    """Return the tolerance that `data` states; errors name the field."""
    fields.only(data, {"on_time_days", "overdue_days"})
    return Tolerance(
        on_time_days=fields.whole(data, "on_time_days"),
        overdue_days=fields.whole(data, "overdue_days"),
    )


def result_intervals_to_data(intervals: Mapping[InspectionResult, Interval]) -> Data:
    """Return the interval after each inspection result, by the result's name."""
    return {str(result): interval_to_data(intervals[result]) for result in intervals}


def result_intervals_from_data(data: Mapping[str, object]) -> dict[InspectionResult, Interval]:
    """Return the intervals that `data` states; errors name the field."""
    fields.only(data, set(InspectionResult))
    return {InspectionResult(name): interval_from_data(fields.table(data, name)) for name in data}


def rules_to_data(task: Task) -> Data:
    """Return all rules of `task` (not its identity, title, category and dates) as plain data."""
    data: Data = {
        "triggers": [trigger_to_data(trigger) for trigger in task.triggers],
        "scope": str(task.scope),
        "out_of_scope": str(task.out_of_scope),
    }
    if task.tolerance is not None:
        data["tolerance"] = tolerance_to_data(task.tolerance)
    if task.result_intervals:
        data["result_intervals"] = result_intervals_to_data(task.result_intervals)
    for name in ("no_grace", "cosmetic", "safety", "round_name", "minutes", "lead_days"):
        value: object = getattr(task, name)
        if value:
            data[name] = value
    return data


class TaskRules(TypedDict):
    """The rules of a task, ready to be handed to `Task` beside its identity."""

    triggers: tuple[Trigger, ...]
    scope: Scope
    out_of_scope: OutOfScope
    tolerance: Tolerance | None
    result_intervals: dict[InspectionResult, Interval]
    no_grace: bool
    cosmetic: bool
    safety: bool
    round_name: str
    minutes: int
    lead_days: int


def rules_from_data(data: Mapping[str, object], *, starts_on: date | None = None) -> TaskRules:
    """Return the rules that `data` states; errors name the field that cannot be used.

    Use as ``Task(id=..., title=..., starts_on=day, **rules_from_data(data, starts_on=day))``.
    """
    fields.only(data, TaskRules.__annotations__)
    listed = fields.need(data, "triggers")
    if not isinstance(listed, list):
        raise InputError("triggers", "write a list of triggers")
    tables = [fields.as_table("triggers", item) for item in listed]
    return TaskRules(
        triggers=tuple(trigger_from_data(table, starts_on=starts_on) for table in tables),
        scope=fields.word(data, "scope", Scope) if "scope" in data else Scope.ALWAYS,
        out_of_scope=(
            fields.word(data, "out_of_scope", OutOfScope)
            if "out_of_scope" in data
            else OutOfScope.MOVE_TO_START
        ),
        tolerance=(
            tolerance_from_data(fields.table(data, "tolerance")) if "tolerance" in data else None
        ),
        result_intervals=(
            result_intervals_from_data(fields.table(data, "result_intervals"))
            if "result_intervals" in data
            else {}
        ),
        no_grace=fields.yes(data, "no_grace"),
        cosmetic=fields.yes(data, "cosmetic"),
        safety=fields.yes(data, "safety"),
        round_name=fields.text(data, "round_name") if "round_name" in data else "",
        minutes=fields.whole(data, "minutes") if "minutes" in data else 0,
        lead_days=fields.whole(data, "lead_days") if "lead_days" in data else 0,
    )


def _calendar(data: Mapping[str, object], starts_on: date | None) -> Trigger:
    if "start" in data or starts_on is None:
        starts_on = fields.day(data, "start")
    return CalendarTrigger(rule=fields.text(data, "rule"), start=starts_on)


def _elapsed(data: Mapping[str, object], _starts_on: date | None) -> Trigger:
    return ElapsedTrigger(every=interval_from_data(data))


def _use(data: Mapping[str, object], _starts_on: date | None) -> Trigger:
    return UseTrigger(
        counter=fields.word(data, "counter", Counter), amount=fields.number(data, "amount")
    )


def _season(data: Mapping[str, object], _starts_on: date | None) -> Trigger:
    return SeasonTrigger(
        edge=fields.word(data, "edge", Edge),
        offset_days=fields.whole(data, "offset_days") if "offset_days" in data else 0,
        risk_percent=fields.whole(data, "risk_percent") if "risk_percent" in data else None,
    )


def _reading(data: Mapping[str, object], _starts_on: date | None) -> Trigger:
    return ReadingTrigger(condition=parse_condition(fields.text(data, "when")))


def _once(data: Mapping[str, object], _starts_on: date | None) -> Trigger:
    return OnceTrigger(on=fields.day(data, "on"))


_READERS: Mapping[str, Callable[[Mapping[str, object], date | None], Trigger]] = {
    "calendar": _calendar,
    "elapsed": _elapsed,
    "use": _use,
    "season": _season,
    "reading": _reading,
    "once": _once,
}
_FIELDS: Mapping[str, frozenset[str]] = {
    "calendar": frozenset({"kind", "rule", "start"}),
    "elapsed": frozenset({"kind", "every", "period"}),
    "use": frozenset({"kind", "counter", "amount"}),
    "season": frozenset({"kind", "edge", "offset_days", "risk_percent"}),
    "reading": frozenset({"kind", "when"}),
    "once": frozenset({"kind", "on"}),
}
