"""The word for each thing that a task of the care plan needs or warns of."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.care.plan_card import Need
from tubcare.care.templates_read import CautionKind
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum

    from tubcare.words.locale import Speech


def plan_word(speech: Speech, member: Need | CautionKind) -> str:
    """Return the word for what a task needs, or for the kind of a caution."""
    return say_term(speech, PLAN_TERMS[type(member)][member])


def caution_told(speech: Speech, *cautions: str) -> str:
    """Return cautions of the program's own files as they stand beside what they warn of."""
    return speech.say("Caution: {text}", text=" ".join(map(speech.own, cautions)))


PLAN_TERMS: Mapping[type[StrEnum], Mapping[StrEnum, Term]] = MappingProxyType(
    {
        Need: {
            Need.TUB_EMPTY: term("need", "tub empty"),
            Need.UNIT_OFF: term("need", "unit off and unplugged"),
            Need.TWO_PEOPLE: term("need", "two people"),
            Need.DRY_WEATHER: term("need", "dry weather"),
        },
        CautionKind: {
            CautionKind.CHEMICALS: term("caution", "chemicals"),
            CautionKind.ELECTRICITY: term("caution", "electricity"),
            CautionKind.COLD_WATER: term("caution", "cold water"),
            CautionKind.FROST: term("caution", "frost"),
            CautionKind.HANDLING: term("caution", "lifting and handling"),
        },
    }
)
