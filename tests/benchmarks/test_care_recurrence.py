"""How fast the dates of rules are found: against python-dateutil, and with the age of a rule.

Run with TUBCARE_BENCH=1 for the full size and the bounds; the figures are printed (pytest -s).
"""

from __future__ import annotations

from datetime import date, datetime, time
from statistics import median

from dateutil.rrule import rrulestr

from tests.support.bench import FULL, beside, ms
from tests.support.mixed_plan import RULES
from tubcare.care.recurrence import Rule, compile_rule

SIZE = 1_000 if FULL else 20
MONDAY, SUNDAY = date(2026, 11, 23), date(2026, 11, 29)


def rules(years: int) -> list[tuple[str, date]]:
    """Return the rules with their starts, spread over a year, `years` before the week."""
    return [
        (
            RULES[number % len(RULES)],
            date(2026 - years, 1 + number // 2 % 12, 1 + number * 7 % 28),
        )
        for number in range(SIZE)
    ]


def in_week(compiled: list[Rule]) -> list[list[date]]:
    return [rule.between(MONDAY, SUNDAY) for rule in compiled]


def test_the_dates_of_a_week_against_dateutil() -> None:
    written = rules(10)
    ours = [compile_rule(text, start) for text, start in written]
    theirs = [rrulestr(text, dtstart=datetime.combine(start, time())) for text, start in written]
    low, high = datetime.combine(MONDAY, time()), datetime.combine(SUNDAY, time())

    def by_dateutil() -> list[list[date]]:
        return [[at.date() for at in rule.between(low, high, inc=True)] for rule in theirs]

    figure = beside(lambda: in_week(ours), by_dateutil, 4 if FULL else 1)
    figure.told(f"{SIZE} rules, 10 years old", "dateutil")
    print(f"{1 / figure.ratio:.0f} times as fast")  # noqa: T201  the figure is the point
    assert in_week(ours) == by_dateutil()
    if FULL:
        assert figure.ratio <= 1 / 300


def test_thirty_years_cost_what_ten_years_cost() -> None:
    ten = [compile_rule(text, start) for text, start in rules(10)]
    thirty = [compile_rule(text, start) for text, start in rules(30)]
    in_week(ten), in_week(thirty)

    figure = beside(lambda: in_week(thirty), lambda: in_week(ten), 61 if FULL else 3)
    figure.told(f"{SIZE} rules, 30 years old", "10 years old")
    if FULL:
        assert figure.ratio <= 1.2


def test_the_age_of_a_counted_rule_costs_nothing_but_its_compilation() -> None:
    written = [
        (f"{text};COUNT=20000", start) for text, start in rules(10) if "INTERVAL" not in text
    ]
    counted: list[Rule] = []
    taken = ms(lambda: counted.extend(compile_rule(text, start) for text, start in written))
    plain = [compile_rule(text.partition(";COUNT")[0], start) for text, start in written]
    in_week(plain), in_week(counted)

    figure = beside(lambda: in_week(counted), lambda: in_week(plain), 15)
    ratio = median(figure.ours) / median(figure.base)
    print(f"COUNT: {taken / len(written):.2f} ms a rule to compile, then {ratio:.2f}x")  # noqa: T201  the figure is the point
    assert in_week(counted) == in_week(plain)
    if FULL:
        assert ratio <= 1.2
