"""What the water has been through, and what it did to the liner, in words."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.change import ChangeReason
from tubcare.water.exposure import LONGEST_GAP_D
from tubcare.words.numbers import number, percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.water.change import ChangeAdvice
    from tubcare.water.exposure import Course, Exposure, LinerWindow
    from tubcare.words.locale import Speech

REASONS: Mapping[ChangeReason, Term] = MappingProxyType(
    {
        ChangeReason.BATHERS: term("change", "dips"),
        ChangeReason.CYANURIC_ACID: term("change", "cyanurate"),
        ChangeReason.DISSOLVED_SOLIDS: term("change", "dissolved solids"),
        ChangeReason.CHLORIDE: term("change", "chloride"),
        ChangeReason.AGE: term("change", "age"),
    }
)


def wear_text(speech: Speech, advice: ChangeAdvice) -> str:
    """Return how far each reason for a change of water has come, the heaviest first."""
    if not advice.weights:
        return speech.say("Nothing is on record yet that wears the water.")
    told = ", ".join(
        speech.say(
            "{reason} {share}",
            reason=say_term(speech, REASONS[each.reason]),
            share=percent(speech, each.share),
        )
        for each in advice.weights
    )
    if advice.due:
        return speech.say(
            "A change of water is due ({list}); {litres} of fresh water settle it.",
            list=told,
            litres=quantity(speech, round(advice.litres), Unit.LITRE),
        )
    return speech.say("On the way to the next change of water: {list}.", list=told)


def _too_early(exposure: Exposure) -> bool:
    """Return whether all there is yet are a few days that the next test may still explain."""
    courses = (exposure.ph, exposure.chloride, exposure.free_chlorine)
    outside = any(each is not None and each.below + each.above > 0.0 for each in courses)
    return not outside and exposure.ph.known_days + exposure.ph.unknown_days < LONGEST_GAP_D


def exposure_text(
    speech: Speech, exposure: Exposure, window: LinerWindow, *, inspected: bool
) -> tuple[str, ...]:
    """Return how long and how far the water was outside what the liner stands."""
    since = (
        speech.say("Since the last inspection of the liner:")
        if inspected
        else speech.say("Since the opening, without an inspection of the liner:")
    )
    if exposure.ph.known_days + exposure.ph.unknown_days < 1.0:
        return since, speech.say("less than a day, too early to tell.")
    told = [since, _course(speech, speech.say("pH"), exposure.ph, (window.ph_low, window.ph_high))]
    if exposure.chloride is not None:
        limits = (0.0, window.chloride_mg_l or 0.0)
        told.append(_course(speech, speech.say("Chloride"), exposure.chloride, limits))
    chlorine = exposure.free_chlorine
    if chlorine is not None and chlorine.known_days > 0.0:
        limits = (0.0, window.free_chlorine_mg_l or 0.0)
        told.append(_course(speech, speech.say("Free chlorine"), chlorine, limits))
    if exposure.inspection_share < 1.0 and not _too_early(exposure):
        told.append(
            speech.say(
                "Time outside, and by half the time that is not known, bring the next inspection "
                "forward: it comes after {share} of its usual interval.",
                share=percent(speech, exposure.inspection_share),
            )
        )
    return tuple(told)


def _course(speech: Speech, name: str, course: Course, limits: tuple[float, float]) -> str:
    outside = course.days_below + course.days_above
    told = speech.say(
        "{name}: {outside} outside, {inside} inside, {unknown} not known.",
        name=name,
        outside=_days(speech, outside),
        inside=_days(speech, max(0.0, course.known_days - outside)),
        unknown=_days(speech, course.unknown_days),
    )
    if outside <= 0.0 or course.lowest is None or course.highest is None:
        return told
    low, high = limits
    worst = course.lowest if low - course.lowest > course.highest - high else course.highest
    limit = low if worst < low else high
    dissolved = low <= 0.0
    return speech.say(
        "{told} Farthest out: {worst}, where the liner stands {limit}.",
        told=told,
        worst=_figure(speech, worst, dissolved=dissolved),
        limit=_figure(speech, limit, dissolved=dissolved),
    )


def _figure(speech: Speech, value: float, *, dissolved: bool) -> str:
    if dissolved:
        return quantity(speech, round(value, 1), Unit.MG_PER_LITRE)
    return number(speech, round(value, 2))


def _days(speech: Speech, days: float) -> str:
    shown = number(speech, round(days, 1 if days < 10 else 0))
    form = 1 if shown == "1" else 2
    return speech.say_count("{days} day", "{days} days", form, days=shown)
