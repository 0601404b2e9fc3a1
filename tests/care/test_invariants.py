"""What holds for every task, every history of a tub, and every day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tests.care.builders import SUMMER, TUB, WINTER, at, day, every, rule, task
from tubcare.care.forecast import forecast
from tubcare.care.model import (
    NO_FACTS,
    Closing,
    Counter,
    CounterState,
    Edge,
    FrostDates,
    OnceTrigger,
    Outcome,
    OutOfScope,
    Period,
    PutOff,
    Range,
    Reading,
    ReadingReason,
    ReadingTrigger,
    Scope,
    SeasonTrigger,
    StateChange,
    Status,
    Task,
    TaskFacts,
    Trigger,
    TubFacts,
    TubState,
    UseTrigger,
    parse_condition,
)
from tubcare.care.occurrences import occurrence, occurrences
from tubcare.values import CompletionId, MonthDay

BEGIN = date(2024, 1, 1)
DAYS = st.integers(0, 1200).map(lambda count: BEGIN + timedelta(days=count))
RULES = (
    "FREQ=DAILY",
    "FREQ=WEEKLY;BYDAY=SU",
    "FREQ=MONTHLY;BYMONTHDAY=-1",
    "FREQ=MONTHLY;BYDAY=1SA;COUNT=9",
    "FREQ=YEARLY;BYMONTH=10;BYMONTHDAY=20",
    "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29",
    "FREQ=WEEKLY;INTERVAL=2;BYMONTH=5,6,7,8",
)
CALENDAR = st.sampled_from(RULES).map(lambda text: rule(text, "2024-01-01"))
ELAPSED = st.builds(every, st.integers(1, 14), st.sampled_from(tuple(Period)))
TRIGGERS: st.SearchStrategy[Trigger] = st.one_of(
    CALENDAR,
    ELAPSED,
    st.integers(1, 60).map(lambda n: UseTrigger(counter=Counter.DIP, amount=n)),
    st.builds(SeasonTrigger, edge=st.sampled_from(tuple(Edge)), offset_days=st.integers(-30, 30)),
    st.just(ReadingTrigger(condition=parse_condition("ph outside range"))),
    DAYS.map(lambda on: OnceTrigger(on=on)),
)
SCOPES = st.sampled_from(tuple(Scope))
POLICIES = st.sampled_from(tuple(OutOfScope))
LIVING = [state for state in TubState if state is not TubState.RETIRED]


@st.composite
def tasks(draw: st.DrawFn) -> Task:
    triggers = draw(st.lists(TRIGGERS, min_size=1, max_size=3))
    return task(
        *triggers,
        starts_on=draw(DAYS).isoformat(),
        scope=draw(SCOPES),
        out_of_scope=draw(POLICIES),
        first_due_on=draw(st.none() | DAYS.map(date.isoformat)),
        no_grace=draw(st.booleans()),
        cosmetic=draw(st.booleans()),
    )


@st.composite
def tubs(draw: st.DrawFn) -> TubFacts:
    changes = draw(st.lists(st.tuples(DAYS, st.sampled_from(LIVING)), max_size=8))
    taken = draw(DAYS)
    return TubFacts(
        tub_id=TUB,
        states=tuple(
            StateChange(id=number, on=on, state=state)
            for number, (on, state) in enumerate(sorted(changes), start=1)
        ),
        plan=draw(st.sampled_from((None, SUMMER, WINTER))),
        counters={
            Counter.DIP: CounterState(
                now=draw(st.integers(0, 500)), daily_rate=draw(st.floats(0, 5)), as_of=draw(DAYS)
            )
        },
        readings={
            "ph": Reading(
                quantity="ph", value=draw(st.floats(6, 9)), taken_on=taken, taken_at=at(str(taken))
            )
        },
        ranges={"ph": Range(low=7.2, high=7.6)},
        frost=(
            FrostDates(watch_from=MonthDay(month=9, day=20), dry_by=MonthDay(month=2, day=29)),
        ),
    )


@st.composite
def histories(draw: st.DrawFn) -> TaskFacts:
    on, due_on = draw(DAYS), draw(DAYS)
    closing = Closing(
        id=CompletionId(1),
        key="start:1",
        outcome=draw(st.sampled_from(tuple(Outcome))),
        on=on,
        due_on=due_on,
        counters={Counter.DIP: draw(st.integers(0, 300))},
    )
    put_off = PutOff(key=draw(st.sampled_from(("done:1", "start:1"))), to=draw(DAYS), made_on=on)
    return TaskFacts(
        closing=draw(st.none() | st.just(closing)),
        put_offs=draw(st.just(()) | st.just((put_off,))),
    )


@given(tasks(), histories(), tubs(), DAYS)
def test_the_same_facts_give_the_same_occurrence(
    each: Task, facts: TaskFacts, of: TubFacts, today: date
) -> None:
    found = occurrence(each, facts, of, today)
    assert found == occurrence(each, facts, of, today)
    assert [found] * (found is not None) == occurrences([each], {each.id: facts}, {TUB: of}, today)


@given(tasks(), histories(), tubs(), DAYS)
def test_a_window_is_in_order_and_the_status_follows_it(
    each: Task, facts: TaskFacts, of: TubFacts, today: date
) -> None:
    found = occurrence(each, facts, of, today)
    if found is None:
        return
    assert found.opens_on <= found.due_on
    assert len(found.key) <= 80
    assert all(missed <= today for missed in found.missed)
    if found.late_after is None or found.overdue_after is None:
        assert each.cosmetic
        assert found.status in {Status.COMING, Status.DUE, Status.ASLEEP}
        return
    assert found.due_on <= found.late_after <= found.overdue_after
    if found.status is not Status.ASLEEP:
        passed = [found.due_on <= today, found.late_after < today, found.overdue_after < today]
        order = [Status.COMING, Status.DUE, Status.LATE, Status.OVERDUE]
        assert order.index(found.status) == sum(passed)


@given(tasks(), histories(), tubs(), DAYS, st.integers(-5, 40), st.sampled_from(tuple(Outcome)))
def test_closing_an_occurrence_opens_another_and_never_an_earlier_one(
    each: Task, facts: TaskFacts, of: TubFacts, today: date, later: int, outcome: Outcome
) -> None:
    old = occurrence(each, facts, of, today)
    if old is None:
        return
    on = max(today, today + timedelta(days=later))
    now_open = occurrence(each, facts, of, on)
    if now_open is None:
        return
    closing = Closing(
        id=CompletionId(2),
        key=now_open.key,
        outcome=outcome,
        on=on,
        at=at(str(on), "23:59"),
        due_on=now_open.due_on,
        anchor_day=now_open.anchor_day,
        counters={Counter.DIP: of.counters[Counter.DIP].now},
    )
    following = occurrence(each, TaskFacts(closing=closing), of, on)
    if following is None:
        return
    assert following.key != now_open.key
    if not isinstance(following.reason, ReadingReason):
        assert following.due_on > min(on, now_open.due_on)
        assert following.due_on >= on


@given(tasks(), histories(), tubs(), DAYS, st.sampled_from((TubState.PAUSED, TubState.CLOSED)))
def test_pausing_and_going_on_without_time_passing_changes_nothing(
    each: Task, facts: TaskFacts, of: TubFacts, today: date, state: TubState
) -> None:
    known = [change for change in of.states if change.on < today]
    before = known or [StateChange(id=97, on=BEGIN - timedelta(days=1), state=TubState.OPEN)]
    blink = (
        StateChange(id=98, on=today, state=state),
        StateChange(id=99, on=today, state=before[-1].state),
    )
    plain = replace(of, states=tuple(before))
    blinked = replace(of, states=(*before, *blink))
    assert occurrence(each, facts, plain, today) == occurrence(each, facts, blinked, today)


def _interval_task(trigger: Trigger, scope: Scope, policy: OutOfScope) -> Task:
    return task(trigger, scope=scope, out_of_scope=policy, starts_on="2024-01-01")


# A stopped clock counts days: how many a month has depends on where it begins, by up to three.
INTERVAL_TASKS = st.builds(
    _interval_task, ELAPSED, SCOPES, st.just(OutOfScope.MOVE_TO_START)
) | st.builds(
    _interval_task, st.integers(1, 400).map(every), SCOPES, st.just(OutOfScope.STOP_CLOCK)
)


@given(INTERVAL_TASKS, tubs(), DAYS, st.integers(0, 400), DAYS)
def test_work_done_later_is_never_due_earlier(
    each: Task, of: TubFacts, on: date, later: int, today: date
) -> None:
    def after(last: date) -> date:
        closing = Closing(
            id=CompletionId(1), key="start:1", outcome=Outcome.DONE, on=last, due_on=last
        )
        found = occurrence(each, TaskFacts(closing=closing), of, max(today, on))
        assert found is not None
        return found.due_on

    assert after(on) <= after(on + timedelta(days=later))


@given(tasks(), histories(), tubs(), DAYS)
def test_a_forecast_goes_forward_and_begins_with_what_is_open(
    each: Task, facts: TaskFacts, of: TubFacts, today: date
) -> None:
    until = today + timedelta(days=500)
    found = forecast([each], {each.id: facts}, {TUB: of}, today, until)
    dates = [o.due_on for o in found]
    assert dates == sorted(dates)
    assert all(date_ <= until for date_ in dates)
    ahead = [date_ for date_ in dates if date_ > today]
    if not isinstance(found[0].reason if found else None, ReadingReason):
        assert len(ahead) == len(set(ahead))
    open_now = occurrence(each, facts, of, today)
    if open_now is not None and open_now.due_on <= until:
        assert open_now in found
    assert len({o.key for o in found}) == len(found)


@given(tasks(), tubs(), DAYS)
def test_nothing_starts_late(each: Task, of: TubFacts, today: date) -> None:
    each = replace(each, starts_on=today, first_due_on=None)
    found = occurrence(each, NO_FACTS, of, today)
    if found is not None and not isinstance(found.reason, ReadingReason):
        assert found.due_on >= today


def test_ten_years_of_missed_dates_are_one_occurrence() -> None:
    each = task(rule("FREQ=DAILY", "2016-01-01"), starts_on="2016-01-01")
    found = occurrence(each, None, TubFacts(tub_id=TUB), day("2026-01-01"))
    assert found is not None
    assert found.due_on == day("2026-01-01")
    assert len(found.missed) == 366
