"""What the water calls for beside dosing: combined chlorine, metals, draining, a leak."""

from __future__ import annotations

from math import floor, log10
from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.combined import CombinedCall
from tubcare.water.galvanic import Metal, PairKind
from tubcare.words.numbers import number, percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.water_amounts import amount_text
from tubcare.words.terms import Term, say_term, term
from tubcare.words.water_products import compound_name
from tubcare.words.water_values import kit_value

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.water.balance import ActiveChlorine
    from tubcare.water.borate import BorateShare
    from tubcare.water.clash import Clash
    from tubcare.water.combined import Combined
    from tubcare.water.draining import Neutralising
    from tubcare.water.galvanic import GalvanicPair
    from tubcare.water.kit import Kit
    from tubcare.words.locale import Speech

METALS: Mapping[Metal, Term] = MappingProxyType(
    {
        Metal.MAGNESIUM: term("metal", "magnesium"),
        Metal.ZINC: term("metal", "zinc"),
        Metal.GALVANISED_STEEL: term("metal", "galvanised steel"),
        Metal.ALUMINIUM: term("metal", "aluminium"),
        Metal.CARBON_STEEL: term("metal", "plain steel"),
        Metal.BRASS: term("metal", "brass"),
        Metal.COPPER: term("metal", "copper"),
        Metal.CUPRONICKEL: term("metal", "copper-nickel"),
        Metal.STAINLESS_304: term("metal", "stainless steel 304"),
        Metal.STAINLESS_316: term("metal", "stainless steel 316"),
        Metal.TITANIUM: term("metal", "titanium"),
    }
)
# Under a lid nearly nothing evaporates: more than this within a week asks for a look. Common
# practice, no source; the care plan's task for the level stands on the same number.
LEAK_SHARE = 0.03


def metal_name(speech: Speech, metal: Metal) -> str:
    """Return the name of a metal."""
    return say_term(speech, METALS[metal])


def combined_text(speech: Speech, kit: Kit, combined: Combined, volume_l: float) -> str:
    """Return what combined chlorine calls for, empty for nothing."""
    name = "combined_chlorine_mg_l"
    value = kit_value(speech, kit, name, combined.combined_mg_l)
    litres = quantity(speech, round(combined.fresh_share * volume_l), Unit.LITRE)
    match combined.call:
        case CombinedCall.NOTHING:
            return ""
        case CombinedCall.RETEST:
            return speech.say("Total chlorine reads below the free: test both again.")
        case CombinedCall.FRESH_WATER:
            return speech.say(
                "Combined chlorine {value}: change about {litres} of the water. Dosing it away "
                "would go beyond what the liner stands, and is slow in cold water.",
                value=value,
                litres=litres,
            )
        case CombinedCall.BREAKPOINT:
            told = speech.say(
                "Combined chlorine {value}: change about {litres} of the water, or treat it with "
                "about {dose} of free chlorine as the label says, tub closed to people; slow in "
                "cold water.",
                value=value,
                litres=litres,
                dose=kit_value(speech, kit, "free_chlorine_mg_l", combined.practice_dose_mg_l),
            )
            return speech.say(
                "{told} Never mix two kinds of chlorine, nor chlorine with acid; put the product "
                "into water, wear gloves and eye protection, and keep the place aired.",
                told=told,
            )


def active_text(speech: Speech, active: ActiveChlorine) -> str:
    """Return what cyanuric acid leaves of the free chlorine, to the one figure that is known."""
    told = speech.say(
        "Cyanuric acid binds free chlorine: only about {value} works as hypochlorous "
        "acid ({low} to {high}).",
        value=_one_figure(speech, active.hocl_mg_l),
        low=_one_figure(speech, active.low_mg_l),
        high=_one_figure(speech, active.high_mg_l),
    )
    if not active.extrapolated:
        return told
    return speech.say(
        "{told} Below 5 °C this was never measured, so the range is wider.", told=told
    )


def clash_text(speech: Speech, kit: Kit, clash: Clash) -> str:
    """Return that chlorine and peroxide do not go together, and what is left of both."""
    return speech.say(
        "Chlorine and peroxide destroy each other: what was read leaves {chlorine} of free "
        "chlorine and {peroxide} of peroxide. Use one of the two, never both.",
        chlorine=kit_value(speech, kit, "free_chlorine_mg_l", clash.chlorine_mg_l),
        peroxide=kit_value(speech, kit, "peroxide_mg_l", clash.peroxide_mg_l),
    )


def borate_text(speech: Speech, kit: Kit, borate: BorateShare) -> str:
    """Return what borate does in this water."""
    return speech.say(
        "Borate carries {value} of the alkalinity, and the pH moves {share} less for the same "
        "dose than without it.",
        value=kit_value(speech, kit, "alkalinity_mg_l", borate.alkalinity_mg_l),
        share=percent(speech, borate.steadies),
    )


def _one_figure(speech: Speech, mg_l: float) -> str:
    if mg_l <= 0.0:
        return quantity(speech, 0.0, Unit.MG_PER_LITRE)
    decimals = max(0, -floor(log10(mg_l)))
    return quantity(speech, round(mg_l, decimals), Unit.MG_PER_LITRE, decimals)


def galvanic_text(speech: Speech, pair: GalvanicPair) -> str:
    """Return the warning about two metals in one water."""
    parts = {
        "attacked": metal_name(speech, pair.attacked),
        "noble": metal_name(speech, pair.noble),
    }
    if pair.kind is PairKind.PLATED_COPPER:
        return speech.say(
            "Metals: {noble} in the same water plates out on {attacked} and pits it, even where "
            "they do not touch.",
            **parts,
        )
    return speech.say(
        "Metals: where {noble} and {attacked} touch, {attacked} is eaten. Keep them apart with "
        "plastic.",
        **parts,
    )


def neutralise_text(speech: Speech, found: Neutralising, ph: float | None = None) -> str:
    """Return what ends the sanitiser of the water that goes out, and who decides where it goes.

    `ph` is that of the water afterwards, where it was worked out.
    """
    agent = compound_name(speech, found.compound)
    first = amount_text(speech, found.first_g, "g")
    if found.stepwise:
        told = speech.say(
            "Before draining, end the sanitiser: first {first} of {agent}, mix, test, and at most "
            "{most} in all.",
            first=first,
            agent=agent,
            most=amount_text(speech, found.high_g, "g"),
        )
    else:
        told = speech.say(
            "Before draining, end the sanitiser: {first} of {agent}, mix and test.",
            first=first,
            agent=agent,
        )
    if ph is not None:
        shown = number(speech, round(ph, 1))
        told = speech.say("{told} Its pH is then about {ph}: test that too.", told=told, ph=shown)
    return speech.say("{told} Local rules decide where the water may go.", told=told)


def apart_text(speech: Speech, pairs: Sequence[tuple[str, str]]) -> str:
    """Return which products must never meet, empty where none."""
    if not pairs:
        return ""
    told = [speech.say("{one} and {other}", one=one, other=other) for one, other in pairs]
    return speech.say(
        "Never let meet, on the shelf or in a scoop, because of fire, heat or toxic gas: {pairs}.",
        pairs="; ".join(told),
    )


def leak_text(speech: Speech, topped_up_l: float, volume_l: float) -> str:
    """Return what was topped up in a week, with the hint at a leak where it is much."""
    if topped_up_l <= 0.0:
        return ""
    told = speech.say(
        "{litres} topped up in seven days ({share}).",
        litres=quantity(speech, round(topped_up_l, 1), Unit.LITRE),
        share=percent(speech, topped_up_l / volume_l, 1),
    )
    if topped_up_l <= LEAK_SHARE * volume_l:
        return told
    return speech.say("{told} Under a lid nearly nothing evaporates: look for a leak.", told=told)
