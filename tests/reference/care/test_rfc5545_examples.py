"""The examples of RFC 5545, section 3.8.5.3 (September 2009), as far as they speak of dates.

The RFC's rules carry a time of day; here a rule is over dates. So an UNTIL with a time becomes the
last local date whose 09:00 does not lie after it, and rules within a day must be refused.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest

from tubcare.care.recurrence import compile_rule
from tubcare.errors import InputError

EXAMPLES = json.loads(Path(__file__).with_name("rfc5545_examples.json").read_text("utf-8"))
ZONE = ZoneInfo("America/New_York")
UNTIL = re.compile(r"UNTIL=(\d{8}T\d{6})Z")


class Example(NamedTuple):
    title: str
    rule: str
    start: date
    dates: list[date]
    finite: bool

    @property
    def within_a_day(self) -> bool:
        return any(word in self.rule for word in ("HOURLY", "MINUTELY", "BYHOUR"))


def _examples() -> list[Example]:
    return [
        Example(
            each["title"],
            rule,
            datetime.fromisoformat(each["dtstart"]).date(),
            [datetime.fromisoformat(text).date() for text in each["expected"]],
            each["finite"],
        )
        for each in EXAMPLES["examples"]
        for rule in each["rrules"]
    ]


OVER_DATES = [each for each in _examples() if not each.within_a_day]
WITHIN_A_DAY = [each for each in _examples() if each.within_a_day]


def _with_local_until(rule: str) -> str:
    def local(match: re.Match[str]) -> str:
        until = datetime.strptime(match[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
        day = until.astimezone(ZONE).date()
        if datetime(day.year, day.month, day.day, 9, tzinfo=ZONE) > until:
            day -= timedelta(days=1)
        return f"UNTIL={day:%Y%m%d}"

    return UNTIL.sub(local, rule)


@pytest.mark.parametrize("example", OVER_DATES, ids=lambda each: each.rule)
def test_a_rule_gives_the_dates_that_the_rfc_lists(example: Example) -> None:
    rule = compile_rule(_with_local_until(example.rule), example.start)

    end = date(2030, 1, 1) if example.finite else example.dates[-1]
    assert rule.between(example.start, end) == example.dates


@pytest.mark.parametrize("example", OVER_DATES, ids=lambda each: each.rule)
def test_stepping_from_date_to_date_gives_the_same(example: Example) -> None:
    rule = compile_rule(_with_local_until(example.rule), example.start)

    steps = zip(rule.dates(example.start), example.dates, strict=False)
    assert all(mine == theirs for mine, theirs in steps)


@pytest.mark.parametrize("example", WITHIN_A_DAY, ids=lambda each: each.rule)
def test_a_rule_within_a_day_is_refused_by_the_name_of_its_part(example: Example) -> None:
    with pytest.raises(InputError) as caught:
        compile_rule(_with_local_until(example.rule), example.start)

    assert caught.value.field in {"FREQ", "BYHOUR"}


def test_all_the_examples_are_there() -> None:
    # The section has 39 examples; three of them give two rules for the same dates.
    assert len(EXAMPLES["examples"]) == 39
    assert len(OVER_DATES) + len(WITHIN_A_DAY) == 42
