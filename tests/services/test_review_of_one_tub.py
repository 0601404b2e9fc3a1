"""The review of one tub alone holds its share of the whole review, to the cent."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.services.measures import add_dip
from tubcare.services.money import Belongs, DirectPurchase, pay
from tubcare.services.period_choices import review_periods
from tubcare.services.reviews import Reviewed, review_of, year_review
from tubcare.services.tubs import tubs
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.ledger.review_model import ViewReview
    from tubcare.values import TubId

DAY = date(2026, 5, 1)
PERIODS = range(4)


@pytest.fixture(scope="module")
def club() -> Iterator[Desk]:
    """Open two seasons of two tubs; what they cost was written down as people do."""
    clock = StillClock(datetime(2026, 11, 25, 12, tzinfo=UTC))
    desk = Desk(open_store(demo_logbook(clock), clock.now()), clock, "Aino")
    yield desk
    desk.store.close()


def alone(desk: Desk, period: int) -> tuple[Reviewed, dict[TubId, Reviewed]]:
    choice = review_periods(desk)[period]
    each = {tub.id: review_of(desk, choice, only=tub.id) for tub in tubs(desk)}
    return review_of(desk, choice), each


def views(found: Reviewed) -> tuple[ViewReview, ViewReview]:
    return found.review.paid, found.review.used


@pytest.mark.parametrize("period", PERIODS)
def test_what_a_tub_cost_alone_is_its_line_in_the_whole_review(club: Desk, period: int) -> None:
    whole, each = alone(club, period)
    for place in (0, 1):
        lines = {line.tub: line.minor for line in views(whole)[place].tubs}
        costs = {tub: views(found)[place].total.minor for tub, found in each.items()}
        assert costs == {tub: lines.get(tub, 0) for tub in each}


@pytest.mark.parametrize("period", PERIODS)
def test_what_was_done_and_the_dips_of_all_tubs_add_up_to_the_whole(
    club: Desk, period: int
) -> None:
    whole, each = alone(club, period)
    assert sum(found.review.done for found in each.values()) == whole.review.done
    assert sum(found.review.missed for found in each.values()) == whole.review.missed
    assert sum(found.review.dips for found in each.values()) == whole.review.dips
    assert max(found.review.open_days for found in each.values()) <= whole.review.open_days


@pytest.mark.parametrize("period", PERIODS)
def test_the_tables_and_the_reasons_of_a_change_add_up_for_one_tub_too(
    club: Desk, period: int
) -> None:
    _whole, each = alone(club, period)
    for found in each.values():
        for view in views(found):
            assert sum(line.minor for line in view.categories) == view.total.minor
            assert sum(line.minor for line in view.tasks) == view.total.minor
        used = found.review.used
        before = sum(line.before_minor or 0 for line in used.categories)
        changes = sum(item.change_minor for item in found.effects.items)
        assert changes == (used.total.minor - before if used.before else 0)


def test_what_belongs_to_no_tub_and_the_budgets_of_all_are_left_out(desk: Desk) -> None:
    north, south = add_tub(desk, name="North"), add_tub(desk, name="South")
    for minor, tub in ((100, north), (20, south), (3, None)):
        bought = DirectPurchase(
            on=DAY, category=SpendCategory.OTHER, minor=minor, belongs=Belongs(tub=tub)
        )
        pay(desk, bought)
    set_budgets(desk, 2026, {SpendCategory.OTHER: 5000})
    assert year_review(desk, 2026).review.paid.total.minor == 123
    found = year_review(desk, 2026, only=north)
    assert found.review.paid.total.minor == 100
    assert found.review.paid.budget.total.budget_minor is None
    assert found.only_name == "North"


def test_work_and_dips_of_another_tub_are_not_told(desk: Desk) -> None:
    north, south = add_tub(desk, name="North"), add_tub(desk, name="South")
    record_work(desk, add_task(desk, south), Work(), restarts=True)
    add_dip(desk, south, dips=3)
    found = year_review(desk, 2026, only=north)
    assert (found.review.done, found.review.dips) == (0, 0)
    assert year_review(desk, 2026, only=south).review.done == 1
