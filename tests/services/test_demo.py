"""The demo: two open seasons of an invented club that hold together and end in a normal week."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import func, select

from tests.services.histories import laws
from tests.support.books import assert_books_hold
from tests.support.clocks import StillClock
from tests.support.dump import assert_same, everything
from tubcare.care.model import TubState
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import budgets
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.services.entries import entries
from tubcare.services.reviews import year_review
from tubcare.services.tubs import tubs
from tubcare.services.week import RoundItem, in_rounds, this_week
from tubcare.store.open import open_store
from tubcare.store.tables import CompletionRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import Cladding, Liner

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.support.dump import Facts

AUTUMN = date(2026, 11, 25)


def opened(on: date, hour: int = 12) -> Desk:
    clock = StillClock(datetime(on.year, on.month, on.day, hour, tzinfo=UTC))
    return Desk(open_store(demo_logbook(clock), clock.now()), clock, "Aino")


@pytest.fixture(scope="module")
def desk() -> Iterator[Desk]:
    desk = opened(AUTUMN)
    yield desk
    desk.store.close()


@pytest.fixture(scope="module")
def facts(desk: Desk) -> Facts:
    return everything(desk.store)


def times_done(desk: Desk, template: str) -> int:
    done, task = table_of(CompletionRow), table_of(TaskRow)
    with desk.read() as connection:
        return int(
            connection.execute(
                select(func.count())
                .select_from(done.join(task, task.c.id == done.c.task_id))
                .where(task.c.template_key == template)
            ).scalar_one()
        )


def test_the_same_day_gives_the_same_demo_at_any_hour(facts: Facts) -> None:
    again = opened(AUTUMN, 20)
    assert_same(everything(again.store), facts)
    again.store.close()


def test_two_tubs_one_with_an_aluminium_liner_and_one_clad_in_wood(desk: Desk) -> None:
    shore, yard = tubs(desk)
    assert shore.profile.liner is Liner.ALUMINIUM
    assert yard.profile.cladding is Cladding.SOFTWOOD
    assert shore.state is yard.state is TubState.OPEN


def test_each_tub_was_opened_twice_and_closed_in_between_by_its_procedure(
    desk: Desk, facts: Facts
) -> None:
    states = [row["state"] for row in facts["state_change"]]
    assert (states.count("open"), states.count("closed")) == (4, 2)
    assert (times_done(desk, "season.open"), times_done(desk, "season.close")) == (4, 2)
    assert len(facts["step_tick"]) >= 4 * 12 + 2 * 13
    assert times_done(desk, "season.midwinter") >= 6


def test_the_water_drifts_and_is_corrected(desk: Desk, facts: Facts) -> None:
    ph = [row["value"] for row in facts["reading"] if row["quantity"] == "ph"]
    assert min(ph) <= 7.2
    assert 7.5 < max(ph) < 8.2
    assert len(facts["dose"]) > 40
    assert times_done(desk, "water.correct_ph") > 10
    assert times_done(desk, "water.change") >= 8


def test_dips_meters_and_fills_are_on_record(facts: Facts) -> None:
    assert len(facts["dip"]) > 300
    assert len({row["counter"] for row in facts["meter_reading"]}) == 3
    assert len(facts["fill"]) >= 4 + 8
    assert {row["name"] for row in facts["person"]} == {"Aino", "Eero", "Sanna"}


def test_money_shows_every_kind_and_the_books_hold(desk: Desk, facts: Facts) -> None:
    found = entries(desk, first=date(2025, 1, 1), last=AUTUMN)
    kinds = {entry.kind for entry in found}
    assert kinds == {"stock", "direct", "build", "refund", "power", "water"}
    assert any(entry.category is SpendCategory.REPAIRS for entry in found)
    assert budgets(desk, 2025)
    assert budgets(desk, 2026)
    assert_books_hold(desk.store)
    laws.assert_keys_hold(facts)
    laws.assert_refunds_hold(facts)
    laws.assert_charges_hold(facts)


def test_not_all_went_to_plan(facts: Facts) -> None:
    assert all(row["reason"] for row in facts["put_off"])
    assert len(facts["put_off"]) > 5
    assert any(row["missed"] for row in facts["completion"])
    assert any(not row["on_time"] for row in facts["completion"])
    assert any(row["outcome"] == "skipped" and row["note"] for row in facts["completion"])


def test_the_year_review_has_a_year_before_to_compare_with(desk: Desk) -> None:
    review = year_review(desk, 2026).review
    assert review.used.before is not None
    assert review.used.total.minor > 0
    assert review.dips > 100


def test_this_week_is_a_normal_week_something_late_a_round_and_a_few_lines(desk: Desk) -> None:
    week = this_week(desk)
    lines = in_rounds(week.open_items)
    assert [item.title for item in week.late] == ["Look over the cable and the plug"]
    assert any(isinstance(line, RoundItem) for line in lines)
    assert len(lines) <= 20
    laws.assert_the_plan_holds(desk, everything(desk.store))


def test_nothing_lies_ahead_of_the_day_it_is_opened(facts: Facts) -> None:
    yesterday = AUTUMN - timedelta(days=1)
    for rows in facts.values():
        assert all(row["on_date"] <= yesterday for row in rows if "on_date" in row)


def test_in_winter_the_closed_tubs_are_visited() -> None:
    winter = opened(date(2027, 2, 10))
    week = this_week(winter)
    assert [tub.state for tub in tubs(winter)] == [TubState.CLOSED, TubState.CLOSED]
    assert week.late
    assert any(item.title == "Visit the closed tub" for item in week.later)
    assert week.asleep > 20
    winter.store.close()
