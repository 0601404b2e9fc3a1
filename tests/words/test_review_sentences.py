"""What a review says: sums, changes, budgets, reasons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.effects import EffectsTable, ItemCost, effects
from tubcare.ledger.forecast import ExpectedCost
from tubcare.ledger.review import review
from tubcare.ledger.review_model import (
    Period,
    PeriodFacts,
    ReviewInput,
    TaskCount,
    YearReview,
)
from tubcare.values import TaskId
from tubcare.words.locale import speech_for
from tubcare.words.sentences.review import (
    effect_name,
    effect_sentences,
    estimate_sentence,
    missed_sentence,
    review_sentences,
)

SPEECH = speech_for({}, chosen="en_GB", currency_code="EUR")
YEAR = Period(first=date(2026, 1, 1), last=date(2026, 12, 31))
BEFORE = Period(first=date(2025, 1, 1), last=date(2025, 12, 31))


def given(cost: int, before: int | None = None, **changes: object) -> YearReview:
    facts = PeriodFacts(
        period=YEAR, paid=[(1, "power", 1, 2026, 5, cost)], used=[], open_days=100, dips=1
    )
    earlier = None
    if before is not None:
        earlier = PeriodFacts(period=BEFORE, paid=[(1, "power", 1, 2025, 5, before)], used=[])
    basis = ReviewInput(facts=facts, before=earlier, today=date(2026, 8, 1), budgets={})
    return review(replace(basis, **changes))  # type: ignore[arg-type]


def told(found: YearReview, *, is_over: bool = True) -> str:
    return " ".join(review_sentences(SPEECH, found, found.paid, is_over=is_over))


@pytest.mark.parametrize(
    ("before", "sentence"),
    [
        (8000, "That is €20.00 more than the time before (€80.00)."),
        (12_500, "That is €25.00 less than the time before (€125.00)."),
        (10_000, "That is as much as the time before."),
    ],
)
def test_a_period_that_is_over_is_set_against_the_one_before(before: int, sentence: str) -> None:
    assert f"In all €100.00. {sentence}" in told(given(10_000, before))


def test_a_period_that_runs_is_told_so_far_and_what_it_will_likely_come_to() -> None:
    coming = [ExpectedCost(date(2026, 9, 1), SpendCategory.POWER, 4321)]
    text = told(given(10_000, 8000, expected=coming), is_over=False)
    assert text.startswith(
        "So far €100.00. That is €20.00 more than in the same days of the time before, "
        "which came to €80.00 in all."
    )
    assert "By 31 Dec 2026 likely about €140 in all." in text


def test_a_period_that_runs_may_cost_less_or_as_much_as_the_same_days_before() -> None:
    assert "That is €5.00 less than in the same days" in told(given(7500, 8000), is_over=False)
    assert "That is as much as in the same days" in told(given(8000, 8000), is_over=False)


@pytest.mark.parametrize(
    ("budget", "sentence"),
    [
        (15_000, "Of the budget of €150.00, €50.00 is left."),
        (9_000, "The budget of €90.00 is overspent by €10.00."),
    ],
)
def test_the_budget_is_told_as_left_or_overspent(budget: int, sentence: str) -> None:
    assert sentence in told(given(10_000, budgets={SpendCategory.POWER: budget}))


def test_a_budget_that_will_not_last_is_told_before_it_is_spent() -> None:
    coming = [ExpectedCost(date(2026, 9, 1), SpendCategory.POWER, 9000)]
    text = told(given(10_000, budgets={SpendCategory.POWER: 15_000}, expected=coming))
    assert "€50.00 is left. At the end it will likely be overspent by about €40." in text


def test_what_went_to_kinds_without_a_budget_is_told_apart() -> None:
    text = told(given(10_000, budgets={SpendCategory.WATER: 2000}))
    assert "Of the budget of €20.00, €20.00 is left." in text
    assert "€100.00 went to kinds that have no budget." in text


def test_without_budget_none_is_told() -> None:
    assert "budget" not in told(given(10_000))


def test_open_days_and_dips_are_told_with_what_each_cost() -> None:
    assert "100 open days, €1.00 each. 1 dip, €100.00 each." in told(given(10_000))


def test_the_tasks_missed_most_often_are_named_worst_first() -> None:
    counts = [TaskCount(task=TaskId(n), missed=missed) for n, missed in ((1, 1), (2, 5), (3, 0))]
    found = given(100, counts=counts)
    names = {1: "Clean the coil", 2: "Test the water", 3: "Swap the filter"}
    sentence = missed_sentence(SPEECH, found.paid, lambda task: names[task or 0])
    assert sentence == "Missed most often: Test the water (5) and Clean the coil (1)."
    assert not missed_sentence(SPEECH, given(100).paid, lambda task: names[task or 0])


def table(before: ItemCost, after: ItemCost) -> EffectsTable:
    return effects([before], [after])


def test_price_quantity_and_both_are_told_apart() -> None:
    found = table(
        ItemCost(key="supply:Filter", unit="piece", minor=2000, quantity_milli=2000),
        ItemCost(key="supply:Filter", unit="piece", minor=3600, quantity_milli=3000),
    )
    parts = "+€4.00 by price, +€10.00 by quantity and +€2.00 by both together"
    assert effect_sentences(SPEECH, found) == (
        f"What was used changed by +€16.00: {parts}.",
        f"Filter +€16.00: {parts}.",
    )


def test_what_has_no_quantity_is_told_as_such() -> None:
    found = table(ItemCost(key="rest:repairs", minor=500), ItemCost(key="rest:repairs", minor=300))
    (sentence,) = effect_sentences(SPEECH, found)
    assert "-€2.00 by what has no quantity, is new or is gone" in sentence


def test_nothing_to_compare_is_no_sentence() -> None:
    assert effect_sentences(SPEECH, effects((), ())) == ()
    assert not estimate_sentence(SPEECH, 0)


def test_names_of_effects_are_words_and_names_that_people_gave() -> None:
    assert effect_name(SPEECH, "meter:power") == "Power"
    assert effect_name(SPEECH, "rest:wood_care") == "Wood care, without a quantity"
    assert effect_name(SPEECH, "supply:Oil: dark") == "Oil: dark"
    assert "about €20" in estimate_sentence(SPEECH, 2000)
