"""What an idea is, and what it would bring."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.words.dates import medium_date
from tubcare.words.money import money
from tubcare.words.numbers import number, percent, plain_number
from tubcare.words.power_terms import build_up_word
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.power import cost_told
from tubcare.words.sentences.tariff_bands import bands_text
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.energy.what_if import Outcome
    from tubcare.words.locale import Speech

_KINDS: Mapping[IdeaKind, Term] = {
    IdeaKind.SET_POINT: term("idea", "set point"),
    IdeaKind.PUMP_HOURS: term("idea", "pump hours a day"),
    IdeaKind.SHADING: term("idea", "shade on the lid"),
    IdeaKind.WALL: term("idea", "another wall"),
    IdeaKind.LID: term("idea", "another lid"),
    IdeaKind.SEASON: term("idea", "days closed earlier"),
    IdeaKind.PRICE: term("idea", "one price of a kilowatt hour"),
    IdeaKind.TARIFF: term("idea", "prices by time of day"),
}


def idea_kind_word(speech: Speech, kind: IdeaKind) -> str:
    """Return the name of what would be changed."""
    return say_term(speech, _KINDS[kind])


def amount_hint(speech: Speech, kind: IdeaKind) -> str:
    """Return what the number of an idea stands for, "" for ideas without one."""
    code = speech.currency.code
    return {
        IdeaKind.PUMP_HOURS: speech.say("Hours a day, 0 to 24."),
        IdeaKind.SHADING: speech.say("Share of the sun that is kept off, 0 to 1."),
        IdeaKind.SEASON: speech.say("Days; below 0 for later."),
        IdeaKind.PRICE: speech.say("In {currency}, with tax.", currency=code),
        IdeaKind.TARIFF: speech.say(
            "In {currency}: the price outside all times below.", currency=code
        ),
    }.get(kind, "")


def idea_told(  # noqa: PLR0911  one return for each kind
    speech: Speech, idea: Idea | None
) -> str:
    """Return an idea in a few words; None is the tub as it is."""
    if idea is None:
        return speech.say("As it is")
    match idea.kind:
        case IdeaKind.SET_POINT:
            value = quantity(speech, idea.amount, Unit.CELSIUS)
            return speech.say("Set point {value}", value=value)
        case IdeaKind.PUMP_HOURS:
            value = quantity(speech, idea.amount, Unit.HOUR)
            return speech.say("Pump {value} a day", value=value)
        case IdeaKind.SHADING:
            return speech.say("Shade for {share} of the sun", share=percent(speech, idea.amount))
        case IdeaKind.WALL:
            return speech.say("Wall: {name}", name=build_up_word(speech, idea.build_up))
        case IdeaKind.LID:
            return speech.say("Lid: {name}", name=build_up_word(speech, idea.build_up))
        case IdeaKind.SEASON:
            days = round(idea.amount)
            if days < 0:
                return speech.say_count("Close {n} day later", "Close {n} days later", -days)
            return speech.say_count("Close {n} day earlier", "Close {n} days earlier", days)
        case IdeaKind.PRICE | IdeaKind.TARIFF:
            return tariff_told(speech, idea.tariff or TariffPlan(price=Decimal(str(idea.amount))))


def tariff_told(speech: Speech, plan: TariffPlan) -> str:
    """Return the prices of a tariff in a few words."""
    if plan.kind is TariffKind.HOURLY and plan.hourly is not None:
        return speech.say(
            "Hourly prices as from {day} on", day=medium_date(speech, plan.hourly.start.date())
        )
    if plan.kind is TariffKind.FLAT and plan.price is None:
        return speech.say("No price of power is known.")
    price = plain_number(speech, plan.price or 0)
    if plan.kind is TariffKind.TIME_OF_USE:
        bands = bands_text(speech, plan.bands)
        return speech.say("By time of day: {bands}, else {price}", bands=bands, price=price)
    return speech.say("One price, {price} {currency}", price=price, currency=speech.currency.code)


def season_cost_told(speech: Speech, outcome: Outcome) -> str:
    """Return what a season costs, with its range where one is known."""
    if outcome.cost_range is None:
        return money(speech, outcome.rounded_cost_minor)
    return cost_told(speech, outcome.cost_range)


def saving_told(speech: Speech, outcome: Outcome) -> str:
    """Return what a season saves, with its range where one is known; below nothing it costs."""
    if outcome.saving_range is None:
        return money(speech, round(outcome.saving_minor))
    return cost_told(speech, outcome.saving_range)


def pay_back_told(speech: Speech, outcome: Outcome) -> str:
    """Return after how many seasons an idea has paid for itself, empty where that is no matter."""
    if outcome.pay_back_seasons is None:
        return ""
    value = number(speech, outcome.pay_back_seasons, 1)
    between = outcome.pay_back_range
    if between is None:
        return speech.say("{n} seasons", n=value)
    low = number(speech, between.soonest, 1)
    if between.latest is None:
        return speech.say("{n} seasons ({low} to never)", n=value, low=low)
    high = number(speech, between.latest, 1)
    if low == high:
        return speech.say("{n} seasons", n=value)
    return speech.say("{n} seasons ({low} to {high})", n=value, low=low, high=high)


def remarks_told(speech: Speech, compared: Sequence[tuple[Idea | None, Outcome]]) -> list[str]:
    """Return what is to be known beside the figures, a line for each idea that needs one.

    What holds for the tub as it is, which comes first, is not told again for each idea.
    """
    base = compared[0][1]
    told = []
    for idea, outcome in compared:
        remark = _remark(speech, outcome, None if outcome is base else base)
        if remark:
            name = idea_told(speech, idea)
            told.append(speech.say("{idea}: {remark}", idea=name, remark=remark))
    return told


def _remark(speech: Speech, outcome: Outcome, base: Outcome | None) -> str:
    told = []
    if outcome.traps_pump_heat:
        told.append(
            speech.say("Leaks less and costs more: in cold weather the pump's heat cannot leave.")
        )
    if outcome.cannot_hold and not (base and base.cannot_hold):
        told.append(speech.say("In some hours the unit is too small to hold the set point."))
    if base and base.cannot_hold and not outcome.cannot_hold:
        told.append(speech.say("With it the unit can hold the set point."))
    if outcome.missing_price_hours and not (base and base.missing_price_hours):
        told.append(
            speech.say_count(
                "{n} hour has no price yet; the usual one of its month and hour stands in.",
                "{n} hours have no price yet; the usual ones of their month and hour stand in.",
                outcome.missing_price_hours,
            )
        )
    return " ".join(told)
