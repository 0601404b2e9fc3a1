"""The course of a reading in words: what it did, how fast it goes, by when to test."""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING

from tubcare.words.dates import weekday_date
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.water_amounts import amount_text
from tubcare.words.water_values import quantity_name

if TYPE_CHECKING:
    from datetime import date

    from tubcare.water.loss import LossRate
    from tubcare.water.ranges import Quantity
    from tubcare.words.locale import Speech


def loss_text(speech: Speech, sanitiser: Quantity, rate: LossRate) -> str:
    """Return how fast a sanitiser goes, with its range and what it was fitted from."""
    told = speech.say_count(
        "{name} falls by about {share} a day ({low} to {high}), by {n} pair of readings.",
        "{name} falls by about {share} a day ({low} to {high}), by {n} pairs of readings.",
        rate.pairs,
        name=quantity_name(speech, sanitiser),
        share=percent(speech, _share_lost(rate.rate_per_day)),
        low=percent(speech, _share_lost(rate.low_per_day)),
        high=percent(speech, _share_lost(rate.high_per_day)),
    )
    if rate.per_dip is None:
        return told
    return speech.say(
        "{loss} A dip a day more makes it {share} a day.",
        loss=told,
        share=percent(speech, _share_lost(max(0.0, rate.rate_per_day + rate.per_dip))),
    )


def no_loss_text(speech: Speech) -> str:
    """Return why no loss could be fitted."""
    return speech.say(
        "How fast the sanitiser goes is not known yet: it takes two readings with every dose "
        "between them on record."
    )


def next_test_text(speech: Speech, on: date | None) -> str:
    """Return by when to test; that there is no water to test where nothing says when."""
    if on is None:
        return speech.say("The tub is closed and holds no water.")
    return speech.say("Test again by {day}.", day=weekday_date(speech, on))


def dose_text(speech: Speech, product: str, amount: float, unit: str) -> str:
    """Return what was added: 14 g of pH minus."""
    return speech.say_count(
        "{amount} of {product}",
        "{amount} of {product} in {n} portions",
        1,
        amount=amount_text(speech, amount, unit),
        product=product,
    )


def fresh_text(speech: Speech, litres: float, *, topped_up: bool) -> str:
    """Return how much fresh water came."""
    told = quantity(speech, round(litres, 1), Unit.LITRE)
    if topped_up:
        return speech.say("{litres} topped up", litres=told)
    return speech.say("{litres} changed", litres=told)


def _share_lost(rate_per_day: float) -> float:
    """Return the share that a first-order rate takes in a day."""
    return 1.0 - exp(-rate_per_day)
