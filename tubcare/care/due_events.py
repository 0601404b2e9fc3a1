"""The days that use, the turns of the season and readings ask for, as ordinals."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import date
from math import ceil
from typing import TYPE_CHECKING

from tubcare.care.due_base import EDGE_INTERVAL_DAYS, Base, Candidate, View
from tubcare.care.reasons import ReadingReason, SeasonReason, UseReason
from tubcare.care.terms import Edge

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.care.edges import EdgeDay, Edges
    from tubcare.care.facts import Closing, Reading, TaskFacts
    from tubcare.care.model import Task
    from tubcare.care.triggers import ReadingTrigger, SeasonTrigger, UseTrigger

_FORECAST_DAYS = 3_660
_READING_INTERVAL_DAYS = 1.0
_fromordinal = date.fromordinal


def by_use(
    task: Task, trigger: UseTrigger, base: Base, facts: TaskFacts, view: View
) -> Candidate | None:
    """Return the day on which the counter reached the amount, or is forecast to reach it."""
    counter = trigger.counter
    state = view.tub.counters.get(counter)
    if state is None:
        return None
    then = facts.start_counters.get(counter, 0.0)
    earliest = task.starts_on.toordinal()
    if base.closing is not None:
        then = base.closing.counters.get(counter, then)
        earliest = base.closing.on.toordinal() + 1
    used, rate = max(0.0, state.now - then), state.daily_rate
    left = trigger.amount - used
    as_of = state.as_of.toordinal()
    interval = min(trigger.amount / rate, _FORECAST_DAYS) if rate > 0 else EDGE_INTERVAL_DAYS
    reason = UseReason(counter, trigger.amount, used, rate)
    if left <= 0:
        ago = int(min(-left / rate, _FORECAST_DAYS)) if rate > 0 else 0
        return Candidate(max(as_of - ago, earliest, base.season), reason, interval)
    if rate <= 0 or left / rate > _FORECAST_DAYS:
        return None
    ahead = ceil(left / rate)
    due = as_of + ahead
    if base.days is not None:
        due = base.days.later(as_of, ahead)
    return Candidate(max(due, view.today + 1), reason, interval, about=True)


def by_season(task: Task, trigger: SeasonTrigger, base: Base, view: View) -> Candidate | None:
    """Return the newest edge with its offset that has come, else the next one."""
    edges = view.edges.get((trigger.edge, trigger.risk_percent))
    if edges is None:
        return None
    offset, today = trigger.offset_days, view.today
    come: list[tuple[int, EdgeDay]] = []
    for edge in _open_edges(task, trigger, base, edges, view):
        due = edge.day + offset
        if base.days is not None and not base.days.alive(due):
            continue
        if base.closing is None:
            due = max(due, task.starts_on.toordinal())
        if due > today and come:
            break
        come.append((due, edge))
        if due > today:
            break
    if not come:
        return None
    due, edge = come.pop()
    reason = SeasonReason(
        trigger.edge, _fromordinal(edge.day), offset, edge.planned, edges.risk_percent
    )
    missed = tuple(pair[0] for pair in come)
    label = f"{trigger.edge.value}-{edge.year}"
    return Candidate(due, reason, EDGE_INTERVAL_DAYS, label, False, missed)  # noqa: FBT003  a plain tuple


def _open_edges(
    task: Task, trigger: SeasonTrigger, base: Base, edges: Edges, view: View
) -> Sequence[EdgeDay]:
    """Return the edges that are not dealt with.

    Work done on the day of a turn on record, as a procedure, has dealt with that turn. Else the
    key of the last closing names its edge and year, so a closing date that moves later does not
    make the work due again.
    """
    if base.closing is None:
        return _edges_of_new(task, trigger, edges, view)
    done = base.closing.on.toordinal()
    at = bisect_left(edges.ordinals, done)
    if at < len(edges.days) and edges.days[at].day == done and not edges.days[at].planned:
        return edges.days[at + 1 :]
    name, _dash, year = base.closing.key.partition("@")[2].partition("-")
    if name == trigger.edge.value and year.isdigit():
        return [edge for edge in edges.days if edge.year > int(year)]
    return edges.days[bisect_right(edges.ordinals, base.through - trigger.offset_days) :]


def _edges_of_new(
    task: Task, trigger: SeasonTrigger, edges: Edges, view: View
) -> Sequence[EdgeDay]:
    """Return the edges that a task takes part in which was never done.

    Those are the ones ahead when it began, and a planned closing that had passed with the tub
    still open. Work before an edge is too late on the day that the edge is on record.
    """
    start = task.starts_on.toordinal()
    at = bisect_left(edges.ordinals, start - max(0, trigger.offset_days))
    before = trigger.offset_days < 0
    if before and at < len(edges.days) and edges.days[at].day == start:
        return edges.days[at if edges.days[at].planned else at + 1 :]
    overrun = before and trigger.edge is Edge.CLOSING and at > 0 and edges.days[at - 1].planned
    if overrun and _open_on_record(view, edges, edges.days[at - 1].day):
        at -= 1
    return edges.days[at:]


def _open_on_record(view: View, closings: Edges, day: int) -> bool:
    """Return whether the last that is on record before that day is an opening."""
    opened = [edge.day for edge in view.edges[Edge.OPENING, None].days if not edge.planned]
    closed = [edge.day for edge in closings.days if not edge.planned]
    return bool(opened) and max(closed, default=0) < opened[-1] < day


def by_reading(trigger: ReadingTrigger, base: Base, view: View) -> Candidate | None:
    """Return the day of the newest reading where it asks for work.

    It must be newer than the last completion, and no dose may still have been settling. A strip's
    colour asks only where all that it stands for does.
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
    if not all(condition.holds(each, allowed) for each in reading.band or (reading.value,)):
        return None
    on = reading.taken_on
    reason = ReadingReason(condition, reading.value, on, allowed)
    due = max(on.toordinal(), base.season)
    return Candidate(due, reason, _READING_INTERVAL_DAYS, on.isoformat(), at_once=True)


def _newer(reading: Reading, closing: Closing) -> bool:
    """Return whether a reading was taken after the work: on a later day, or later that day."""
    if reading.taken_on != closing.on:
        return reading.taken_on > closing.on
    return closing.at is not None and reading.taken_at > closing.at
