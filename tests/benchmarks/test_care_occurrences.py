"""How fast the list of what is due is made: against python-dateutil, and with a long history.

Run with TUBCARE_BENCH=1 for the full size and the bounds; the figures are printed (pytest -s).
The baseline is the same engine with the same facts, in which python-dateutil finds the dates of
the rules; both lists must be equal. All else, which is not recurrence, costs the baseline no more.
"""

from __future__ import annotations

from contextlib import contextmanager
from datetime import datetime, time, timedelta
from time import perf_counter
from typing import TYPE_CHECKING

from dateutil.rrule import rrulestr

from tests.support.bench import FULL, beside, ms, times_ms
from tests.support.mixed_plan import TODAY, plan
from tubcare.care.forecast import forecast
from tubcare.care.model import CalendarTrigger, Occurrence, Task
from tubcare.care.occurrences import occurrences

if TYPE_CHECKING:
    from collections.abc import Iterator

SIZE = 1_000 if FULL else 40


class DateutilRule:
    """A rule whose dates python-dateutil finds."""

    def __init__(self, trigger: CalendarTrigger) -> None:
        self._rule = rrulestr(trigger.rule, dtstart=datetime.combine(trigger.start, time()))
        self.gap_days = trigger.compiled.gap_days

    def scan(self, low: int, high: int) -> list[int]:
        first, last = datetime.fromordinal(low), datetime.fromordinal(high)
        return [at.toordinal() for at in self._rule.between(first, last, inc=True)]

    def first(self, low: int) -> int | None:
        at = self._rule.after(datetime.fromordinal(low), inc=True)
        return None if at is None else at.toordinal()


@contextmanager
def dates_by_dateutil(tasks: list[Task]) -> Iterator[None]:
    found = [t for task in tasks for t in task.triggers if isinstance(t, CalendarTrigger)]
    ours = [trigger.compiled for trigger in found]
    for trigger in found:
        object.__setattr__(trigger, "compiled", DateutilRule(trigger))
    yield
    for trigger, compiled in zip(found, ours, strict=True):
        object.__setattr__(trigger, "compiled", compiled)


def test_the_list_of_a_mixed_plan_against_dateutil() -> None:
    tasks, facts, tubs = plan(10, SIZE)

    def make() -> list[Occurrence]:
        return occurrences(tasks, facts, tubs, TODAY)

    mine: list[float] = []
    baseline: list[float] = []
    for _ in range(3):
        mine += times_ms(make, 10)
        with dates_by_dateutil(tasks):
            baseline.append(ms(make))
            by_dateutil = make()
        assert by_dateutil == make()
    # The best of each: whatever else this computer does only ever adds.
    ratio = min(baseline) / min(mine)
    print(  # noqa: T201  the figure is the point
        f"{SIZE} mixed tasks, 10 years old: {min(mine):.2f} ms, "
        f"with dateutil {min(baseline):.0f} ms, {ratio:.0f}x"
    )
    if FULL:
        assert ratio >= 100


def test_ten_years_cost_what_one_year_costs() -> None:
    old, young = plan(10, SIZE), plan(1, SIZE)
    figure = beside(
        lambda: occurrences(*old, TODAY), lambda: occurrences(*young, TODAY), 41 if FULL else 3
    )
    figure.told(f"{SIZE} mixed tasks, ten years old", "one year old")
    if FULL:
        assert figure.ratio <= 1.2


def test_a_year_of_forecast() -> None:
    tasks, facts, tubs = plan(10, SIZE)
    few = tasks[: SIZE // 20]
    start = perf_counter()
    found = forecast(few, facts, tubs, TODAY, TODAY + timedelta(days=365))
    taken = (perf_counter() - start) * 1000
    print(f"forecast of {len(few)} tasks over a year: {len(found)} dates, {taken:.1f} ms")  # noqa: T201  the figure is the point
    assert found
