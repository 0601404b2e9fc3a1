"""Amounts of a product in words: by weight, in the person's scoops, as a stock solution."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.numbers import NO_BREAK_SPACE, number

if TYPE_CHECKING:
    from tubcare.water.measures import Measure, Measured, Portion, StockSolution
    from tubcare.words.locale import Speech

# Halves and quarters are judged by eye, finer parts have marks.
_BY_EYE = 4


def scoops_text(speech: Speech, portion: Portion) -> str:
    """Return the amount in the person's scoops, as a stock solution, or how to measure it out."""
    if portion.measured is not None:
        return _measured(speech, portion.measured)
    stock = portion.stock
    if stock is not None:
        return speech.say(
            "dissolve {scoops} ({solid}) in cold water to make {made}, then add {use} of it",
            scoops=_counted(speech, float(stock.scoops), stock.measure),
            solid=amount_text(speech, stock.solid_g, "g"),
            made=amount_text(speech, stock.made_ml, "ml"),
            use=_use_text(speech, stock),
        )
    return speech.say("weigh it") if portion.unit == "g" else speech.say("use a syringe")


def _counted(speech: Speech, count: float, measure: Measure) -> str:
    return speech.say(
        "{count} \N{MULTIPLICATION SIGN} {measure}",
        count=number(speech, round(count, 2)),
        measure=measure.name,
    )


def _use_text(speech: Speech, stock: StockSolution) -> str:
    """Return the part of a solution, in the person's measures where they hold it."""
    told = amount_text(speech, stock.use_ml, "ml")
    if stock.measured is None:
        return told
    counted = _measured(speech, stock.measured)
    return speech.say("{amount} ({scoops})", amount=told, scoops=counted)


def _measured(speech: Speech, measured: Measured) -> str:
    """Return how often a measure is filled; one with many marks is read at its millilitres."""
    measure = measured.measure
    full, rest = divmod(measured.parts, measure.divisions)
    if not rest or measure.divisions <= _BY_EYE:
        return _counted(speech, measured.count, measure)
    mark = amount_text(speech, rest * measure.capacity_ml / measure.divisions, "ml")
    if not full:
        return speech.say("{measure} to its {mark} mark", measure=measure.name, mark=mark)
    return speech.say(
        "{scoops} and once to its {mark} mark",
        scoops=_counted(speech, float(full), measure),
        mark=mark,
    )


def amount_text(speech: Speech, amount: float, unit: str) -> str:
    """Return grams or millilitres as a label and a scale show them, whatever units are chosen."""
    decimals = 1 if amount < 20 else 0
    return f"{number(speech, round(amount, decimals))}{NO_BREAK_SPACE}{unit}"
