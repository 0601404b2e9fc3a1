"""What a review says in a few sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.money import about_money, money, signed_money
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tubcare.ledger.effects import Effects, EffectsTable
    from tubcare.ledger.review_model import ViewReview, YearReview
    from tubcare.values import TaskId
    from tubcare.words.locale import Speech

MOST_ITEMS = 3


def review_sentences(
    speech: Speech, review: YearReview, view: ViewReview, *, is_over: bool = True
) -> tuple[str, ...]:
    """Return total, the period before, forecast, budget, cost per open day and dip, what was done.

    Parameters
    ----------
    is_over
        Whether the period has ended; one that runs is told "so far", with its forecast.
    """
    return (
        *_total(speech, view, is_over=is_over),
        *_forecast(speech, review, view, is_over=is_over),
        *_budget(speech, view),
        *_each(speech, review, view),
        speech.say(
            "{done} done, {missed} missed or skipped.", done=review.done, missed=review.missed
        ),
    )


def only_sentence(speech: Speech, tub: str) -> str:
    """Return that a review tells of one tub alone."""
    return speech.say("{tub} alone, without what belongs to no tub.", tub=tub)


def estimate_sentence(speech: Speech, minor: int) -> str:
    """Return how much of the power is estimated so far; empty when nothing is."""
    if not minor:
        return ""
    amount = about_money(speech, minor)
    return speech.say(
        "Of the power, {amount} is estimated until the meter is read.", amount=amount
    )


def effect_sentences(
    speech: Speech, table: EffectsTable, *, is_over: bool = True
) -> tuple[str, ...]:
    """Return why the cost changed: in all, and for the items that changed most.

    A period that runs is set against the same days of the one before.
    """
    if not table.items:
        return ()
    change = signed_money(speech, table.total.change_minor)
    parts = _parts(speech, table.total)
    told = [
        speech.say("What was used changed by {change}: {parts}.", change=change, parts=parts)
        if is_over
        else speech.say(
            "Beside the same days of the time before, what was used changed by {change}: {parts}.",
            change=change,
            parts=parts,
        )
    ]
    told += [
        speech.say(
            "{what} {change}: {parts}.",
            what=effect_name(speech, item.key),
            change=signed_money(speech, item.change_minor),
            parts=_parts(speech, item),
        )
        for item in table.items[:MOST_ITEMS]
        if item.change_minor and not item.other_minor
    ]
    return tuple(told)


def effect_name(speech: Speech, key: str) -> str:
    """Return the name of what an effect is about: a supply, a meter, the rest of a kind."""
    kind, _, name = key.partition(":")
    if kind == "meter":
        return _capital(money_word(speech, SpendCategory(name)))
    if kind == "rest":
        word = _capital(money_word(speech, SpendCategory(name)))
        return speech.say("{kind}, without a quantity", kind=word)
    return name


def missed_sentence(
    speech: Speech, view: ViewReview, name_of: Callable[[TaskId | None], str]
) -> str:
    """Return the tasks that were missed most often; empty when none was."""
    missed = [line for line in view.tasks if line.missed and line.task is not None]
    if not missed:
        return ""
    missed.sort(key=lambda line: (-line.missed, line.task or 0))
    names = [
        speech.say("{task} ({count})", task=name_of(line.task), count=line.missed)
        for line in missed[:MOST_ITEMS]
        if line.task is not None
    ]
    return speech.say("Missed most often: {tasks}.", tasks=all_of(speech, names))


def _total(speech: Speech, view: ViewReview, *, is_over: bool) -> Iterator[str]:
    amount = money(speech, view.total.minor)
    yield (
        speech.say("In all {amount}.", amount=amount)
        if is_over
        else speech.say("So far {amount}.", amount=amount)
    )
    if view.before is None or view.change_minor is None:
        return
    before, change = money(speech, view.before.minor), view.change_minor
    if not is_over:
        yield from _so_far(speech, view, change)
    elif change > 0:
        more = money(speech, change)
        yield speech.say(
            "That is {more} more than the time before ({before}).", more=more, before=before
        )
    elif change < 0:
        less = money(speech, -change)
        yield speech.say(
            "That is {less} less than the time before ({before}).", less=less, before=before
        )
    else:
        yield speech.say("That is as much as the time before.")


def _so_far(speech: Speech, view: ViewReview, change: int) -> Iterator[str]:
    """Yield how a period that runs stands beside the same days of the one before."""
    whole = money(speech, view.before_whole_minor or 0)
    if change > 0:
        yield speech.say(
            "That is {more} more than in the same days of the time before, "
            "which came to {whole} in all.",
            more=money(speech, change),
            whole=whole,
        )
    elif change < 0:
        yield speech.say(
            "That is {less} less than in the same days of the time before, "
            "which came to {whole} in all.",
            less=money(speech, -change),
            whole=whole,
        )
    else:
        yield speech.say(
            "That is as much as in the same days of the time before, "
            "which came to {whole} in all.",
            whole=whole,
        )


def _forecast(
    speech: Speech, review: YearReview, view: ViewReview, *, is_over: bool
) -> Iterator[str]:
    if not is_over and view.forecast.expected_minor:
        yield speech.say(
            "By {day} likely {amount} in all.",
            day=medium_date(speech, review.period.last),
            amount=about_money(speech, view.forecast.total_minor),
        )


def _budget(speech: Speech, view: ViewReview) -> Iterator[str]:
    line = view.budget.total
    if line.budget_minor is None or line.left_minor is None:
        return
    budget = money(speech, line.budget_minor)
    if line.left_minor < 0:
        over = money(speech, -line.left_minor)
        yield speech.say(
            "The budget of {budget} is overspent by {over}.", budget=budget, over=over
        )
        yield from _beside_budget(speech, view)
        return
    yield speech.say(
        "Of the budget of {budget}, {left} is left.",
        budget=budget,
        left=money(speech, line.left_minor),
    )
    if line.forecast_left_minor is not None and line.forecast_left_minor < 0:
        over = about_money(speech, -line.forecast_left_minor)
        yield speech.say("At the end it will likely be overspent by {over}.", over=over)
    yield from _beside_budget(speech, view)


def _beside_budget(speech: Speech, view: ViewReview) -> Iterator[str]:
    beside = view.budget.without_budget.actual_minor
    if beside:
        amount = money(speech, beside)
        yield speech.say("{amount} went to kinds that have no budget.", amount=amount)


def _each(speech: Speech, review: YearReview, view: ViewReview) -> Iterator[str]:
    if view.total.per_open_day_minor is not None:
        yield speech.say_count(
            "{n} open day, {amount} each.",
            "{n} open days, {amount} each.",
            review.open_days,
            amount=money(speech, view.total.per_open_day_minor),
        )
    if view.total.per_dip_minor is not None:
        yield speech.say_count(
            "{n} dip, {amount} each.",
            "{n} dips, {amount} each.",
            review.dips,
            amount=money(speech, view.total.per_dip_minor),
        )


def _parts(speech: Speech, effects: Effects) -> str:
    parts = []
    if effects.price_minor:
        parts.append(
            speech.say("{amount} by price", amount=signed_money(speech, effects.price_minor))
        )
    if effects.quantity_minor:
        parts.append(
            speech.say("{amount} by quantity", amount=signed_money(speech, effects.quantity_minor))
        )
    if effects.joint_minor:
        parts.append(
            speech.say(
                "{amount} by both together", amount=signed_money(speech, effects.joint_minor)
            )
        )
    if effects.other_minor:
        parts.append(
            speech.say(
                "{amount} by what has no quantity, is new or is gone",
                amount=signed_money(speech, effects.other_minor),
            )
        )
    return all_of(speech, parts) if parts else money(speech, 0)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
