"""What a review says in a few sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.money import money

if TYPE_CHECKING:
    from tubcare.ledger.review_model import ViewReview, YearReview
    from tubcare.words.locale import Speech


def review_sentences(speech: Speech, review: YearReview, view: ViewReview) -> tuple[str, ...]:
    """Return total, the period before, cost per open day and per dip, and what was done."""
    told = [speech.say("In all {amount}.", amount=money(speech, view.total.minor))]
    if view.before is not None:
        before = money(speech, view.before.minor)
        told.append(speech.say("The time before {amount}.", amount=before))
    if view.total.per_open_day_minor is not None:
        told.append(
            speech.say_count(
                "{n} open day, {amount} each.",
                "{n} open days, {amount} each.",
                review.open_days,
                amount=money(speech, view.total.per_open_day_minor),
            )
        )
    if view.total.per_dip_minor is not None:
        told.append(
            speech.say_count(
                "{n} dip, {amount} each.",
                "{n} dips, {amount} each.",
                review.dips,
                amount=money(speech, view.total.per_dip_minor),
            )
        )
    told.append(
        speech.say(
            "{done} done, {missed} missed or skipped.", done=review.done, missed=review.missed
        )
    )
    return tuple(told)
