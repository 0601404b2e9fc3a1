"""The year review as a report that a person hands to someone else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.desktop.period_words import period_title
from tubcare.desktop.print.report import Part, Report
from tubcare.desktop.review_content import ReviewContent
from tubcare.words.dates import long_date
from tubcare.words.lists import all_of
from tubcare.words.sentences.review import (
    effect_sentences,
    estimate_sentence,
    missed_sentence,
    only_sentence,
    review_sentences,
)

if TYPE_CHECKING:
    from tubcare.desktop.print.report import Picture
    from tubcare.services.reviews import Reviewed
    from tubcare.words.locale import Speech

LETTER_LANDS = frozenset({"US", "CA", "MX", "PH", "CL", "CO", "VE", "GT", "PA", "CR"})
"""Lands where Letter is the usual paper; CLDR, supplemental data "paperSize"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewPictures:
    """The charts of the *used* view."""

    months: Picture
    kinds: Picture


def review_report(speech: Speech, reviewed: Reviewed, pictures: ReviewPictures) -> Report:
    """Return the report of a review: what was used in full, what was paid beside it."""
    say, review = speech.say, reviewed.review
    used = ReviewContent(speech, reviewed, review.used)
    paid = ReviewContent(speech, reviewed, review.paid)
    name = period_title(speech, review.period.first, of_season=reviewed.is_season)
    title = say("Year review: {period}", period=name)
    consumed = " ".join(review_sentences(speech, review, review.used, is_over=reviewed.is_over))
    estimated = estimate_sentence(speech, reviewed.estimated_minor)
    left = " ".join(review_sentences(speech, review, review.paid, is_over=reviewed.is_over)[:-1])
    upright = [
        Part(
            heading=say("What the tub consumed"),
            text=(consumed, estimated) if estimated else (consumed,),
        ),
        Part(heading=say("What left the wallet"), text=(left,)),
        Part(heading=say("Cost by month"), picture=pictures.months),
        Part(heading=say("Kinds of spending by month"), picture=pictures.kinds),
        Part(heading=say("Kinds of spending: used"), table=used.kinds()),
        Part(heading=say("Kinds of spending: paid"), table=paid.kinds()),
        *_why(speech, reviewed, used),
        _done(speech, reviewed, used),
    ]
    if len(review.used.tubs) > 1:
        upright.append(Part(heading=say("By tub"), table=used.tubs()))
    upright.append(_reckoning(speech))
    return Report(
        title=title,
        subtitle=_subtitle(speech, reviewed),
        upright=tuple(upright),
        lying=(
            Part(heading=say("Kinds of spending by month: used"), table=used.kind_months()),
            Part(heading=say("Tasks by month: used"), table=used.task_months()),
        ),
        footer=title,
        letter_paper=speech.formats.territory in LETTER_LANDS,
    )


def page_words(speech: Speech, page: int, pages: int) -> str:
    """Return the number of a page: Page 2 of 5."""
    return speech.say("Page {page} of {pages}", page=page, pages=pages)


def _subtitle(speech: Speech, reviewed: Reviewed) -> tuple[str, ...]:
    say, period = speech.say, reviewed.review.period
    lines = [
        say(
            "{first} to {last}",
            first=long_date(speech, period.first),
            last=long_date(speech, period.last),
        )
    ]
    names = list(reviewed.tub_names.values())
    if reviewed.only_name:
        lines.append(only_sentence(speech, reviewed.only_name))
    elif names:
        lines.append(
            speech.say_count(
                "Tub: {names}", "Tubs: {names}", len(names), names=all_of(speech, names)
            )
        )
    day = long_date(speech, reviewed.today)
    lines.append(say("As known on {day}; amounts in {code}", day=day, code=speech.currency.code))
    return tuple(lines)


def _why(speech: Speech, reviewed: Reviewed, used: ReviewContent) -> tuple[Part, ...]:
    told = effect_sentences(speech, reviewed.effects, is_over=reviewed.is_over)
    if not told:
        return ()
    return (Part(heading=speech.say("Why it changed"), text=told, table=used.effects()),)


def _done(speech: Speech, reviewed: Reviewed, used: ReviewContent) -> Part:
    review = reviewed.review
    told = [
        speech.say(
            "{done} done, {missed} missed or skipped.", done=review.done, missed=review.missed
        ),
        missed_sentence(speech, review.used, reviewed.task_name),
    ]
    return Part(
        heading=speech.say("What was done and what was missed"),
        text=tuple(each for each in told if each),
        table=used.tasks(),
    )


def _reckoning(speech: Speech) -> Part:
    say = speech.say
    return Part(
        heading=say("How it is reckoned"),
        text=(
            say(
                "Paid is money that left the wallet on its day: purchases, repairs, power and "
                "water when they were charged, and the build."
            ),
            say(
                "Used is what the tub consumed: supplies at their average price when they left "
                "the shelf, power spread evenly between two meter readings, water when it was "
                "filled in, and the build spread over the months of its life."
            ),
            say(
                "A period that still runs is set against the same days of the one before, one "
                "that is over against all of it."
            ),
            say(
                "A budget of a season is the share of the yearly budgets by days. What is likely "
                "in all adds the usual cost of the tasks to come, power as in the open days so "
                "far, and the rest of the write-off."
            ),
        ),
    )
