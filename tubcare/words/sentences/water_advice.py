"""What the dosing plan has to say beside its steps."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.change import ChangeReason
from tubcare.water.plan_model import AdviceKind
from tubcare.words.numbers import NO_BREAK_SPACE, number
from tubcare.words.quantities import Unit, quantity
from tubcare.words.terms import Term, say_term, term
from tubcare.words.water_values import kit_value

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.water.drift import Outlook
    from tubcare.water.kit import Kit
    from tubcare.water.plan_model import Advice
    from tubcare.words.locale import Speech

_ABOUT: Mapping[str, Term] = MappingProxyType(
    {
        "ph_alkalinity": term("about", "pH and alkalinity"),
        "sanitiser": term("about", "the sanitiser"),
        "calcium": term("about", "calcium"),
        "free_chlorine": term("about", "free chlorine"),
        "combined_chlorine": term("about", "combined chlorine"),
        "bromine": term("about", "bromine"),
        "peroxide": term("about", "peroxide"),
        "alkalinity": term("about", "alkalinity"),
        "water": term("about", "the water"),
        ChangeReason.CYANURIC_ACID.value: term("about", "cyanurate"),
        ChangeReason.CHLORIDE.value: term("about", "chloride"),
        ChangeReason.DISSOLVED_SOLIDS.value: term("about", "dissolved solids"),
        ChangeReason.BATHERS.value: term("about", "bathers"),
        ChangeReason.AGE.value: term("about", "age"),
    }
)
_ADVICE: Mapping[AdviceKind, Term] = MappingProxyType(
    {
        AdviceKind.NOT_REACHED: term(
            "water advice",
            "With what is on the shelf {about} cannot all be brought inside their ranges.",
        ),
        AdviceKind.SHELF_LACKS: term(
            "water advice", "Nothing on the shelf raises {about}. Add a product with its label."
        ),
        AdviceKind.STOCK_SHORT: term(
            "water advice", "The shelf holds too little of {about}: {amount} more will be needed."
        ),
        AdviceKind.SANITISER_HIGH: term(
            "water advice",
            "Too much {about}: leave the lid open, wait and test again; nothing is added for it.",
        ),
        AdviceKind.PEROXIDE_WITH_CHLORINE: term(
            "water advice",
            "Peroxide and chlorine destroy each other: change the whole water before going from "
            "one to the other.",
        ),
        AdviceKind.CHANGE_NEEDED: term(
            "water advice",
            "Only fresh water lowers {about}. Write down a test of your fill water to see how "
            "much.",
        ),
        AdviceKind.CHANGE_BEATS_DOSING: term(
            "water advice", "Changing part of the water takes fewer products than dosing alone."
        ),
        AdviceKind.FILL_WATER_NO_HELP: term(
            "water advice", "The fill water itself is too high in {about}."
        ),
        AdviceKind.MORE_TURNS: term(
            "water advice",
            "The alkalinity comes down turn by turn, with air and a test between: about {turns} "
            "more after these steps. Fresh water with less alkalinity is quicker.",
        ),
        AdviceKind.LOWER_ALKALINITY: term(
            "water advice",
            "Acid alone would have to be repeated: in open water the pH climbs back. An "
            "alkalinity of {alkalinity} ends that.",
        ),
        AdviceKind.DRIFTS_ANYWAY: term(
            "water advice",
            "Open water climbs in pH even at the lowest alkalinity of the range: expect small "
            "amounts of acid now and then.",
        ),
        AdviceKind.CYANURATE_LEFT_OUT: term(
            "water advice",
            "{about} was left out: it would bring the cyanurate above its range.",
        ),
    }
)
_CORRECTORS: Mapping[str, Term] = MappingProxyType(
    {
        "acid": term(
            "water advice", "Nothing on the shelf lowers the pH. Add an acid with its label."
        ),
        "base": term(
            "water advice",
            "Nothing on the shelf raises pH and alkalinity. Add a base with its label, such as "
            "sodium bicarbonate.",
        ),
    }
)
_CHANGE_LITRES = term("water advice", "Only fresh water helps here: {litres}.")


def advice_text(speech: Speech, kit: Kit, advice: Advice) -> str:
    """Return a remark beside the steps."""
    value = advice.value or 0.0
    said = _ADVICE[advice.kind]
    if advice.kind is AdviceKind.SHELF_LACKS:
        said = _CORRECTORS.get(advice.about, said)
    if advice.kind is AdviceKind.CHANGE_NEEDED and advice.about == "water":
        said = _CHANGE_LITRES
    return say_term(
        speech,
        said,
        about=about_text(speech, advice.about),
        amount=f"{number(speech, round(value))}{NO_BREAK_SPACE}{advice.unit}",
        turns=number(speech, round(value)),
        alkalinity=kit_value(speech, kit, "alkalinity_mg_l", value),
        litres=quantity(speech, round(value), Unit.LITRE),
    )


def outlook_text(speech: Speech, outlook: Outlook) -> str:
    """Return what the air does to the pH in the month after the plan, and the acid it takes."""
    early, late = outlook.leaves_range_day_early, outlook.leaves_range_day_late
    if early is None:
        return speech.say("Left to the air, the pH stays inside its range for a month.")
    first = max(1, round(early))
    if late is None:
        told = speech.say_count(
            "Left to the air, the pH leaves its range after {n} day at the earliest.",
            "Left to the air, the pH leaves its range after {n} days at the earliest.",
            first,
        )
    elif round(late) <= first:
        told = speech.say_count(
            "Left to the air, the pH leaves its range after {n} day.",
            "Left to the air, the pH leaves its range after {n} days.",
            first,
        )
    else:
        told = speech.say(
            "Left to the air, the pH leaves its range after {first} to {last} days.",
            first=number(speech, first),
            last=number(speech, round(late)),
        )
    if not outlook.corrections_high:
        return told
    return speech.say_count(
        "{told} Acid is called for at most once in the month.",
        "{told} Acid is called for at most {n} times in the month.",
        outlook.corrections_high,
        told=told,
    )


def about_text(speech: Speech, about: str) -> str:
    """Return what a remark is about; a product stays under its own name."""
    known = _ABOUT.get(about)
    return about if known is None else say_term(speech, known)
