"""The date that each trigger asks for, and the earliest of them."""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.interim.rules import recurrence
from tubcare.care.interim.seasons import ONE_DAY, in_year
from tubcare.care.model import (
    CalendarTrigger,
    Closing,
    ElapsedReason,
    ElapsedTrigger,
    FirstReason,
    OnceReason,
    OnceTrigger,
    ReadingReason,
    ReadingTrigger,
    RuleReason,
    SeasonReason,
    SeasonTrigger,
    UseReason,
    UseTrigger,
)
from tubcare.care.terms import Edge, Outcome, OutOfScope

if TYPE_CHECKING:
    from tubcare.care.interim.seasons import Seasons
    from tubcare.care.model import Reason, Task, TaskFacts, TubFacts

YEAR = timedelta(days=366)
SEASON_INTERVAL_DAYS = 30
MAX_FORECAST_DAYS = 3660


class Base(NamedTuple):
    """Where a task's clock stands: what opened the occurrence, since when, and what is closed.

    `closed_through` is the last day whose dates are dealt with.
    """

    key: str
    since: date
    closed_through: date
    closing: Closing | None
    since_start: bool
    start_counters: dict[str, float]


class Candidate(NamedTuple):
    """A date that a trigger asks for."""

    due_on: date
    reason: Reason
    interval_days: float
    about: bool = False
    missed: tuple[date, ...] = ()
    rule_on: date | None = None
    anchor_day: int | None = None


def base_of(task: Task, facts: TaskFacts, seasons: Seasons, today: date) -> Base:
    """Return where the task's clock stands today."""
    closing = facts.closing
    counters = {str(k): v for k, v in facts.start_counters.items()}
    if closing is None:
        key, since = f"start:{task.id}", task.starts_on
        through = task.starts_on - ONE_DAY
    else:
        key = f"done:{closing.id}"
        due_on = closing.due_on or closing.on
        skipped = closing.outcome is Outcome.SKIPPED
        since = due_on if skipped else closing.on
        through = due_on if skipped else max(closing.on, due_on)
        counters = {str(k): v for k, v in closing.counters.items()}
    if task.out_of_scope is OutOfScope.MOVE_TO_START:
        began = seasons.started(task.scope, today)
        if began is not None and began.on > since:
            return Base(
                f"open:{began.id}",
                began.on,
                max(through, began.on - ONE_DAY),
                closing,
                since_start=True,
                start_counters=counters,
            )
    return Base(key, since, through, closing, since_start=False, start_counters=counters)


def earliest(
    task: Task, base: Base, tub: TubFacts, seasons: Seasons, today: date
) -> Candidate | None:
    """Return the earliest date that any trigger asks for, None when none does."""
    best: Candidate | None = None
    found: Candidate | None
    for trigger in task.triggers:
        match trigger:
            case CalendarTrigger():
                found = _by_calendar(task, trigger, base, seasons, today)
            case ElapsedTrigger():
                found = _by_elapsed(task, trigger, base, seasons)
            case UseTrigger():
                found = _by_use(trigger, base, tub, today)
            case SeasonTrigger():
                found = _by_season(trigger, base, tub, seasons, today)
            case ReadingTrigger():
                found = _by_reading(trigger, base, tub)
            case OnceTrigger():
                found = _once(trigger, base)
        if found is not None and (best is None or found.due_on < best.due_on):
            best = found
    return best


def _by_calendar(
    task: Task, trigger: CalendarTrigger, base: Base, seasons: Seasons, today: date
) -> Candidate | None:
    rule = recurrence(trigger.rule, trigger.start)
    first = base.closed_through + ONE_DAY
    missed: tuple[date, ...] = ()
    rule_on: date | None = None
    if first <= today:
        newest = rule.on_or_before(today)
        while newest is not None and newest >= first and not seasons.alive(task.scope, newest):
            newest = rule.on_or_before(newest - ONE_DAY)
        if newest is not None and newest >= first:
            rule_on = newest
            since = max(first, newest - YEAR)
            if since < newest:
                earlier = rule.between(since, newest - ONE_DAY)
                missed = tuple(d for d in earlier if seasons.alive(task.scope, d))
    if rule_on is None:
        rule_on = rule.on_or_after(max(first, today))
        steps = 0
        while rule_on is not None and not seasons.alive(task.scope, rule_on) and steps < 800:
            start = seasons.next_start(task.scope, rule_on)
            if start is None:
                break
            rule_on = rule.on_or_after(max(start, rule_on + ONE_DAY))
            steps += 1
    if rule_on is None:
        return None
    following = rule.on_or_after(rule_on + ONE_DAY)
    interval = (following - rule_on).days if following is not None else SEASON_INTERVAL_DAYS
    reason = RuleReason(rule=trigger.rule, on=rule_on)
    return Candidate(rule_on, reason, interval, missed=missed, rule_on=rule_on)


def _by_elapsed(task: Task, trigger: ElapsedTrigger, base: Base, seasons: Seasons) -> Candidate:
    closing = base.closing
    if closing is None and not base.since_start and task.first_due_on is not None:
        first = task.first_due_on
        return Candidate(first, FirstReason(on=first), trigger.every.days)
    every, result = trigger.every, None
    if closing is not None and closing.result is not None and not base.since_start:
        chosen = task.result_intervals.get(closing.result)
        if chosen is not None:
            every, result = chosen, closing.result
    anchor = base.since.day
    if closing is not None and not base.since_start and closing.on == closing.due_on:
        anchor = closing.anchor_day or anchor
    due_on = every.after(base.since, anchor_day=anchor)
    paused = 0
    if task.out_of_scope is OutOfScope.STOP_CLOCK:
        due_on, paused = _without_dead_days(task, base.since, due_on, seasons)
    reason = ElapsedReason(
        every=every,
        since=base.since,
        since_opening=base.since_start,
        paused_days=paused,
        result=result,
    )
    kept = anchor if anchor != due_on.day and not paused else None
    return Candidate(due_on, reason, every.days, anchor_day=kept)


def _without_dead_days(
    task: Task, since: date, due_on: date, seasons: Seasons
) -> tuple[date, int]:
    """Move a date by the days on which the clock stood still."""
    needed = (due_on - since).days
    paused = 0
    for _round in range(12):
        dead = seasons.dead_days(task.scope, since, since + timedelta(days=needed + paused))
        if dead == paused:
            break
        paused = dead
    return since + timedelta(days=needed + paused), paused


def _by_use(trigger: UseTrigger, base: Base, tub: TubFacts, today: date) -> Candidate | None:
    state = tub.counters.get(trigger.counter)
    if state is None:
        return None
    used = max(0.0, state.now - base.start_counters.get(trigger.counter.value, 0.0))
    rate = state.daily_rate
    left = trigger.amount - used
    interval = min(trigger.amount / rate, MAX_FORECAST_DAYS) if rate > 0 else 30.0
    reason = UseReason(counter=trigger.counter, amount=trigger.amount, used=used, daily_rate=rate)
    if left <= 0:
        since = int(min(-left / rate, 3660)) if rate > 0 else 0
        due_on = max(state.as_of - timedelta(days=since), base.since)
        return Candidate(min(due_on, today), reason, interval)
    if rate <= 0 or left / rate > MAX_FORECAST_DAYS:
        return None
    due_on = state.as_of + timedelta(days=ceil(left / rate))
    return Candidate(max(due_on, today + ONE_DAY), reason, interval, about=True)


def _by_season(
    trigger: SeasonTrigger, base: Base, tub: TubFacts, seasons: Seasons, today: date
) -> Candidate | None:
    offset = timedelta(days=trigger.offset_days)
    first = max(base.closed_through + ONE_DAY, today - YEAR) - offset
    last = today + 2 * YEAR - offset
    if trigger.edge in {Edge.OPENING, Edge.CLOSING}:
        edges = seasons.edge_dates(trigger.edge is Edge.OPENING, first, last)
        risk = None
    else:
        edges, risk = _frost_edges(trigger, tub, first, last)
    if not edges:
        return None
    past = [edge for edge in edges if edge[0] + offset <= today]
    on, planned = past[-1] if past else edges[0]
    reason = SeasonReason(
        edge=trigger.edge,
        edge_on=on,
        offset_days=trigger.offset_days,
        planned=planned,
        risk_percent=risk,
    )
    missed = tuple(edge + offset for edge, _planned in past[:-1])
    return Candidate(on + offset, reason, SEASON_INTERVAL_DAYS, missed=missed)


def _frost_edges(
    trigger: SeasonTrigger, tub: TubFacts, first: date, last: date
) -> tuple[list[tuple[date, bool]], int | None]:
    dates = next((f for f in tub.frost if trigger.risk_percent in {None, f.risk_percent}), None)
    if dates is None:
        return [], None
    day = dates.watch_from if trigger.edge is Edge.FROST_WATCH else dates.dry_by
    found = [in_year(day, year) for year in range(first.year, last.year + 1)]
    return [(on, True) for on in found if first <= on <= last], dates.risk_percent


def _by_reading(trigger: ReadingTrigger, base: Base, tub: TubFacts) -> Candidate | None:
    condition = trigger.condition
    reading = tub.readings.get(condition.quantity)
    if reading is None:
        return None
    closing = base.closing
    if closing is not None and (
        reading.taken_at <= closing.at
        if closing.at is not None
        else reading.taken_on <= closing.on
    ):
        return None
    settles = tub.settles_at.get(condition.quantity)
    if settles is not None and reading.taken_at < settles:
        return None
    allowed = tub.ranges.get(condition.quantity)
    if not condition.holds(reading.value, allowed):
        return None
    reason = ReadingReason(
        condition=condition, value=reading.value, taken_on=reading.taken_on, allowed=allowed
    )
    return Candidate(reading.taken_on, reason, 1.0)


def _once(trigger: OnceTrigger, base: Base) -> Candidate | None:
    if base.closing is not None:
        return None
    return Candidate(trigger.on, OnceReason(on=trigger.on), SEASON_INTERVAL_DAYS)
