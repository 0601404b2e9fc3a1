"""The dosing plan in words: what to add, how to measure it out, how long to wait."""

from __future__ import annotations

from datetime import timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.judged import READING_OF
from tubcare.water.plan_model import AdviceKind, StepKind
from tubcare.water.ranges import Quantity
from tubcare.words.measures import measured_name
from tubcare.words.money import money
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.water import length_text
from tubcare.words.sentences.water_advice import about_text
from tubcare.words.sentences.water_amounts import amount_text, scoops_text
from tubcare.words.terms import Term, say_term, term
from tubcare.words.water_values import kit_value

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.water.kit import Kit
    from tubcare.water.plan_model import Advice, ChangeOption, DosingPlan, Expected, PlanStep
    from tubcare.water.reading import WaterTest
    from tubcare.words.locale import Speech

_KINDS: Mapping[StepKind, Term] = MappingProxyType(
    {
        StepKind.CHANGE_WATER: term("water step", "change part of the water"),
        StepKind.RAISE_ALKALINITY: term("water step", "raises the alkalinity"),
        StepKind.ACID: term("water step", "lowers the pH"),
        StepKind.BASE: term("water step", "raises the pH"),
        StepKind.AERATE: term("water step", "raises the pH without adding anything"),
        StepKind.CALCIUM: term("water step", "raises the calcium hardness"),
        StepKind.SANITISER: term("water step", "raises the sanitiser"),
    }
)
# What a step may move, in the order told.
_TOLD: tuple[tuple[Quantity, str], ...] = (
    (Quantity.PH, "ph"),
    (Quantity.ALKALINITY, "alkalinity_mg_l"),
    (Quantity.CALCIUM, "calcium_mg_l"),
    (Quantity.FREE_CHLORINE, "free_chlorine_mg_l"),
    (Quantity.BROMINE, "bromine_mg_l"),
    (Quantity.PEROXIDE, "peroxide_mg_l"),
    (Quantity.CYANURIC_ACID, "cyanuric_acid_mg_l"),
)


_DAY_MIN = 24 * 60
_STATES: Mapping[str, Term] = MappingProxyType(
    {
        "steps": term("water plan", "There is something to add."),
        "nothing_to_do": term(
            "water plan", "Nothing to add: what was read lies inside the ranges."
        ),
        "out_of_reach": term(
            "water plan",
            "Something lies outside its range, and there is no step for it now; why stands below.",
        ),
        "no_test": term("water plan", "No test yet. Enter one to see what to add."),
        "too_old": term(
            "water plan", "The last test is too old to dose for. Test again, then look here."
        ),
        "frozen": term(
            "water plan",
            "Ice was noted. Do not dose a tub that is partly frozen: what stays liquid holds far "
            "more than you mean to add. Once it has gone, note “no ice” with the next test.",
        ),
        "drained": term("water plan", "The tub is closed: there is no water to dose."),
        "contradiction": term(
            "water plan", "The values contradict each other, so nothing is worked out. Test again."
        ),
    }
)


def plan_state_text(speech: Speech, state: str) -> str:
    """Return why there is nothing to add, or that there is."""
    return say_term(speech, _STATES[state])


def head_text(
    speech: Speech, whole: DosingPlan, *, left: int, next_at: str | None, test_from: str | None
) -> tuple[str, ...]:
    """Return how many steps there are, what they cost, and which wait runs."""
    if not left and test_from is not None:
        return (speech.say("All steps are done. Test again from {time} on.", time=test_from),)
    told = (
        speech.say_count("{n} step.", "{n} steps, one after the other.", len(whole.steps)),
        # Nothing is what an amount costs that nobody wrote a price of, too.
        *(
            (speech.say("In all {amount}.", amount=money(speech, whole.cost_minor)),)
            if whole.cost_minor
            else ()
        ),
    )
    if next_at is None:
        return told
    return (*told, speech.say("Wait for the next step until {time}.", time=next_at))


def next_text(
    speech: Speech, *, state: str, left: int, test_from: str | None, test_by: str
) -> str:
    """Return what to do next: the steps left, else the next test."""
    if left:
        return speech.say_count(
            "Next: {n} step under “What to add”.", "Next: {n} steps under “What to add”.", left
        )
    if test_from is not None:
        return speech.say("Next: test again from {time} on.", time=test_from)
    if state == "nothing_to_do":
        return speech.say("Next: test again by {day}.", day=test_by)
    if state == "out_of_reach":
        return speech.say("Next: “What to add” says why no step leads into the ranges.")
    return speech.say("Next: {what}", what=plan_state_text(speech, state))


def unread_text(speech: Speech, unread: Sequence[Quantity]) -> str:
    """Return which sanitisers were not read and so are left alone."""
    names = ", ".join(measured_name(speech, READING_OF[each]) for each in unread)
    return speech.say("Not read with the test, so nothing is added for it: {names}.", names=names)


def step_title(speech: Speech, step: PlanStep) -> str:
    """Return what to do in one line: add 15 g of pH minus, and how to measure it out."""
    if step.kind is StepKind.CHANGE_WATER:
        litres = quantity(speech, round(step.change_l), Unit.LITRE)
        return speech.say("Replace {litres} of the water", litres=litres)
    if step.portion is None or step.product is None:
        return speech.say_count(
            "Run the pump with the lid open for {n} day in all, while somebody watches the tub",
            "Run the pump with the lid open for {n} days in all, while somebody watches the tub",
            round(step.wait_min / _DAY_MIN),
        )
    told = speech.say(
        "Add {amount} of {product}",
        amount=amount_text(speech, step.portion.amount, step.portion.unit),
        product=step.product.name,
    )
    return speech.say("{step}: {scoops}", step=told, scoops=scoops_text(speech, step.portion))


def doses_text(speech: Speech, steps: Sequence[PlanStep]) -> str:
    """Return what was worked out in one line, portions of one product added up."""
    amounts: dict[tuple[str, str], float] = {}
    portions: dict[tuple[str, str], int] = {}
    told = []
    for step in steps:
        if step.portion is None or step.product is None:
            told.append(step_title(speech, step))
            continue
        key = (step.product.name, step.portion.unit)
        amounts[key] = amounts.get(key, 0.0) + step.portion.amount
        portions[key] = portions.get(key, 0) + 1
    for (name, unit), amount in amounts.items():
        told.append(
            speech.say_count(
                "{amount} of {product}",
                "{amount} of {product} in {n} portions",
                portions[name, unit],
                amount=amount_text(speech, amount, unit),
                product=name,
            )
        )
    return speech.say("to add: {list}", list=", ".join(told)) if told else ""


def with_doses_text(
    speech: Speech, told: str, steps: Sequence[PlanStep], cautions: Sequence[str]
) -> str:
    """Return what was worked out, its first caution, and why it is due."""
    doses = doses_text(speech, steps)
    if not doses:
        return told
    if cautions:
        doses = speech.say("{doses}. {caution}", doses=doses, caution=speech.own(cautions[0]))
    return speech.say("{doses} ({why})", doses=doses, why=told)


def step_purpose(speech: Speech, step: PlanStep) -> str:
    """Return what the step does, and which portion of how many it is."""
    told = say_term(speech, _KINDS[step.kind])
    if step.parts > 1:
        return speech.say(
            "{purpose}; portion {part} of {parts}", purpose=told, part=step.part, parts=step.parts
        )
    return told


def wait_text(speech: Speech, step: PlanStep, *, last: bool) -> str:
    """Return how long to wait, with the pump running; a longer time on the label wins.

    Airing is itself the wait.
    """
    if step.kind is StepKind.AERATE:
        return speech.say("Then test again.") if last else speech.say("Then go on.")
    minutes = step.retest_min if last else step.wait_min
    length = length_text(speech, timedelta(minutes=minutes))
    if last:
        return speech.say(
            "Wait {length} with the pump running, then test again; a longer time on the label "
            "wins.",
            length=length,
        )
    return speech.say(
        "Wait {length} with the pump running before the next step; a longer time on the label "
        "wins.",
        length=length,
    )


def expected_text(speech: Speech, kit: Kit, expected: Expected, ranges: Sequence[Quantity]) -> str:
    """Return the reading to expect, as far as the tub has ranges for it."""
    told = [
        speech.say(
            "{name} {value}",
            name=measured_name(speech, READING_OF[quantity_]),
            # A pH cannot be told finer than any kit shows it.
            value=kit_value(
                speech,
                kit,
                READING_OF[quantity_],
                round(value, 1) if quantity_ is Quantity.PH else value,
            ),
        )
        for quantity_, value in _values(expected.test, ranges)
    ]
    return speech.say("Then expect {list}.", list=", ".join(told))


def change_text(speech: Speech, option: ChangeOption, advice: Sequence[Advice]) -> str:
    """Return the partial change weighed against dosing alone, with litres and cost.

    Where nothing but fresh water helps there is nothing to weigh.
    """
    litres = quantity(speech, round(option.litres), Unit.LITRE)
    reasons = ", ".join(about_text(speech, str(reason)) for reason in option.reasons)
    if any(each.kind is AdviceKind.CHANGE_NEEDED for each in advice):
        return speech.say("Fresh water: {litres} for {reasons}.", litres=litres, reasons=reasons)
    return speech.say(
        "Fresh water: {litres} for {reasons}; with it {with_} and {additions}, without it "
        "{without} and {additions_without}.",
        litres=litres,
        reasons=reasons,
        with_=money(speech, option.cost_minor),
        additions=_products(speech, option.additions),
        without=money(speech, option.cost_without_minor),
        additions_without=_products(speech, option.additions_without),
    )


def _products(speech: Speech, count: int) -> str:
    return speech.say_count("{n} product", "{n} products", count)


def _values(test: WaterTest, ranges: Sequence[Quantity]) -> list[tuple[Quantity, float]]:
    found = []
    for each, field in _TOLD:
        value: float | None = getattr(test, field)
        if each in ranges and value is not None:
            found.append((each, round(value, 2)))
    return found
