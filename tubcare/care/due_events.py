"""The days that use, the turns of the season and readings ask for, as ordinals."""

from __future__ import annotations

from datetime import date
from math import ceil
from typing import TYPE_CHECKING

from tubcare.care.due_base import EDGE_INTERVAL_DAYS, Base, Candidate, View
from tubcare.care.reasons import ReadingReason, SeasonReason, UseReason

if TYPE_CHECKING:
    from tubcare.care.edges import EdgeDay
    from tubcare.care.facts import Closing, Reading, TaskFacts
    from tubcare.care.model import Task
    from tubcare.care.triggers import ReadingTrigger, SeasonTrigger, UseTrigger

_FORECAST_DAYS = 3_660
_READING_INTERVAL_DAYS = 1.0
_fromordinal = date.fromordinal


def by_use(trigger: UseTrigger, base: Base, facts: TaskFacts, view: View) -> Candidate | None:
    """Return the day on which the counter reached the amount, or is forecast to reach it."""
    counter = trigger.counter
    state = view.tub.counters.get(counter)
    if state is None:
        return None
    then = facts.start_counters.get(counter, 0.0)
    if base.closing is not None:
        then = base.closing.counters.get(counter, then)
    used, rate = max(0.0, state.now - then), state.daily_rate
    left = trigger.amount - used
    as_of = state.as_of.toordinal()
    interval = min(trigger.amount / rate, _FORECAST_DAYS) if rate > 0 else EDGE_INTERVAL_DAYS
    reason = UseReason(counter=counter, amount=trigger.amount, used=used, daily_rate=rate)
    if left <= 0:
        ago = int(min(-left / rate, _FORECAST_DAYS)) if rate > 0 else 0
        reached = min(max(as_of - ago, base.through + 1, base.season), max(as_of, base.season))
        return Candidate(reached, reason, interval)
    if rate <= 0 or left / rate > _FORECAST_DAYS:
        return None
    ahead = ceil(left / rate)
    due = as_of + ahead
    if base.days is not None:
        due = base.days.later(as_of, ahead)
    return Candidate(max(due, view.today + 1), reason, interval, about=True)


def by_season(task: Task, trigger: SeasonTrigger, base: Base, view: View) -> Candidate | None:
    """Return the newest edge with its offset that has come, else the next one."""
    risk, edges = view.edges.get((trigger.edge, trigger.risk_percent), (None, []))
    dated = _open_edges(task, trigger, base, edges)
    if not dated:
        return None
    come = [pair for pair in dated if pair[0] <= view.today]
    due, edge = come[-1] if come else dated[0]
    reason = SeasonReason(
        edge=trigger.edge,
        edge_on=_fromordinal(edge.day),
        offset_days=trigger.offset_days,
        planned=edge.planned,
        risk_percent=risk,
    )
    missed = tuple(pair[0] for pair in come[:-1])
    label = f"{trigger.edge.value}-{edge.year}"
    return Candidate(due, reason, EDGE_INTERVAL_DAYS, label, missed=missed)


def _open_edges(
    task: Task, trigger: SeasonTrigger, base: Base, edges: list[EdgeDay]
) -> list[tuple[int, EdgeDay]]:
    """Return due day and edge of those not dealt with.

    The key of the last closing names its edge and year, so a closing date that moves later does
    not make the work due again. A new task takes part in an edge that is still ahead.
    """
    offset = trigger.offset_days
    days = base.days
    if days is not None:
        edges = [edge for edge in edges if days.alive(edge.day + offset)]
    if base.closing is None:
        start = task.starts_on.toordinal()
        return [
            (max(e.day + offset, start), e) for e in edges if max(e.day, e.day + offset) >= start
        ]
    name, _dash, year = base.closing.key.partition("@")[2].partition("-")
    if name == trigger.edge.value and year.isdigit():
        return [(e.day + offset, e) for e in edges if e.year > int(year)]
    return [(e.day + offset, e) for e in edges if e.day + offset > base.through]


def by_reading(trigger: ReadingTrigger, base: Base, view: View) -> Candidate | None:
    """Return the day of the newest reading where it asks for work.

    It must be newer than the last completion, and no dose may still have been settling.
    """
    condition = trigger.condition
    quantity = condition.quantity
    reading = view.tub.readings.get(quantity)
    if reading is None:
        return None
    closing = base.closing
    if closing is not None and not _newer(reading, closing):
        return None
    settles = view.tub.settles_at.get(quantity)
    if settles is not None and reading.taken_at < settles:
        return None
    allowed = view.tub.ranges.get(quantity)
    if not condition.holds(reading.value, allowed):
        return None
    on = reading.taken_on
    reason = ReadingReason(condition=condition, value=reading.value, taken_on=on, allowed=allowed)
    due = max(on.toordinal(), base.season)
    return Candidate(due, reason, _READING_INTERVAL_DAYS, on.isoformat(), at_once=True)


def _newer(reading: Reading, closing: Closing) -> bool:
    """Return whether a reading was taken after the work: on a later day, or later that day."""
    if reading.taken_on != closing.on:
        return reading.taken_on > closing.on
    return closing.at is not None and reading.taken_at > closing.at
