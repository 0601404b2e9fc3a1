"""What was learned from the meter, what could not be, and what would help."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.energy.calibration_result import Basis, Calibration, Help, Identified, Refusal
from tubcare.energy.uncertainty import DEFAULT_SHARES
from tubcare.words.numbers import number, percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.frost import freezing_point

if TYPE_CHECKING:
    from tubcare.energy.back_test import BackTest
    from tubcare.energy.drift_test import DriftResult
    from tubcare.words.locale import Speech

_NINE_OF_TEN = 1.645
_MOST_WEEKS = 0.5


def found_told(speech: Speech, found: Calibration | Refusal, goes_by: Basis) -> tuple[str, ...]:
    """Return what the readings tell, or why they tell nothing and what would help."""
    if isinstance(found, Refusal):
        return (
            _refused(speech, goes_by),
            *(help_told(speech, each) for each in found.would_help),
        )
    return (*_identified(speech, found), *(help_told(speech, each) for each in found.would_help))


def _refused(speech: Speech, goes_by: Basis) -> str:
    match goes_by:
        case Basis.METER:
            return speech.say(
                "The readings cannot tell this tub's leak now; what was learned before stands."
            )
        case Basis.DRIFT_TEST:
            return speech.say("The readings cannot tell the unit's efficiency yet.")
        case Basis.DESCRIPTION:
            return speech.say(
                "The readings cannot tell this tub's leak yet; its description stands."
            )


def goes_by_told(speech: Speech, goes_by: Basis, drift: DriftResult | None) -> str:
    """Return what the model goes by, "" where it is the description and nothing was learned."""
    match goes_by:
        case Basis.METER:
            return speech.say("The model goes by this tub's meter.")
        case Basis.DRIFT_TEST:
            _leak, efficiency, pump = (percent(speech, share) for share in DEFAULT_SHARES)
            return speech.say(
                "The model takes the leak from the drift test. The unit's efficiency still goes by"
                " the description, give or take {efficiency}, and so does the pump's power, give"
                " or take {pump}.",
                efficiency=efficiency,
                pump=pump,
            )
        case Basis.DESCRIPTION if drift is not None:
            return speech.say(
                "The model does not use this drift test: it tells the leak no better than the"
                " description, or one too far off to be of this tub. Repeat it, longer or with air"
                " further away."
            )
        case Basis.DESCRIPTION:
            return ""


def help_told(speech: Speech, help_: Help) -> str:
    """Return what would let the readings tell."""
    match help_:
        case Help.MORE_DAYS:
            return speech.say("More days of readings, with measured weather for them, would help.")
        case Help.WIDER_TEMPERATURES:
            return speech.say(
                "Readings of both cool and warm days would help: {apart} apart or more.",
                apart=_kelvin(speech, 5.0),
            )
        case Help.FINER_READINGS:
            return speech.say("More readings would help: once a day or week, five at least.")
        case Help.DRIFT_TEST_AGAIN:
            return speech.say(
                "Drift test and meter contradict each other. Repeat the test with unit and pump"
                " off and the lid on, or delete it and go by the meter alone."
            )
        case Help.DRIFT_TEST:
            return speech.say(
                "A drift test would tell the leak and the unit's efficiency apart: 12 hours, unit"
                " and pump off, lid on."
            )


def factor_told(speech: Speech, factor: float, variance: float) -> str:
    """Return by how much something differs from the description, with its range."""
    spread = math.exp(_NINE_OF_TEN * math.sqrt(max(variance, 0.0)))
    value, low, high = (
        # Nothing is no less than nothing: without the sum it may be told as -0 %.
        percent(speech, round(each - 1.0, 2) + 0.0)
        for each in (factor, factor / spread, factor * spread)
    )
    return speech.say("{value} ({low} to {high})", value=value, low=low, high=high)


def _identified(speech: Speech, found: Calibration) -> tuple[str, ...]:
    ratio = number(speech, found.leak_over_cop_w_k, 2)
    error = number(speech, _NINE_OF_TEN * found.leak_over_cop_error_w_k, 2)
    told = [
        speech.say(
            "Leak over efficiency: {ratio} W/K, give or take {error}.", ratio=ratio, error=error
        )
    ]
    covariance = found.spread.covariance
    if found.identified is Identified.SEPARATE:
        told.append(
            speech.say(
                "Leak and efficiency are told apart. Leak {leak} W/K; against the description the"
                " leak differs by {by}, the unit's efficiency by {efficiency}.",
                leak=number(speech, found.leak_w_k, 1),
                by=factor_told(speech, found.factors.leak, covariance[0][0]),
                efficiency=factor_told(speech, found.factors.carnot, covariance[1][1]),
            )
        )
    else:
        told.append(
            speech.say(
                "Only this ratio is told: a leaky tub with a good unit draws as much as a tight"
                " tub with a poor one."
            )
        )
    told.append(
        speech.say(
            "The pump's power differs by {by}. The readings scatter by {noise} about the fit.",
            by=factor_told(speech, found.factors.pump, covariance[2][2]),
            noise=percent(speech, found.noise_share),
        )
    )
    return tuple(told)


def back_test_told(speech: Speech, checked: BackTest) -> str:
    """Return how well weeks were foretold that the fit had not seen."""
    told = speech.say_count(
        "Checked on {n} week that the fit had not seen: {share} of them within the range, {bias}"
        " off in all, scatter {scatter}.",
        "Checked on {n} weeks that the fit had not seen: {share} of them within the range, {bias}"
        " off in all, scatter {scatter}.",
        len(checked.weeks),
        share=percent(speech, checked.within_share),
        bias=percent(speech, checked.bias_share, 1),
        scatter=percent(speech, checked.scatter_share, 1),
    )
    if checked.within_share >= _MOST_WEEKS:
        return told
    return speech.say(
        "{told} Most of them lie outside: what was learned does not foretell this tub.", told=told
    )


def drift_told(speech: Speech, result: DriftResult) -> tuple[str, ...]:
    """Return what a drift test told, and what would make a repeat better."""
    told = [
        speech.say(
            "Drift test: leak {leak} W/K, give or take {error}; the water follows the air within"
            " about {hours}.",
            leak=number(speech, result.ua_w_k, 1),
            error=number(speech, _NINE_OF_TEN * result.error_w_k, 1),
            hours=quantity(speech, result.time_constant_h, Unit.HOUR, 0),
        )
    ]
    return (*told, *(_advice(speech, each) for each in result.advice))


def _advice(speech: Speech, key: str) -> str:
    match key:
        case "drift.longer":
            return speech.say("Better: leave it off for 12 hours.")
        case "drift.warmer_air":
            return speech.say(
                "Better: choose a day with air at least {apart} colder or warmer than the water.",
                apart=_kelvin(speech, 10.0),
            )
        case _:
            return speech.say(
                "Better: wait until the water has moved by {rise} or more.",
                rise=_kelvin(speech, 1.0),
            )


def steps_of_drift_test(speech: Speech) -> tuple[str, ...]:
    """Return how a drift test is done, step by step."""
    return (
        speech.say(
            "Choose a calm night or day with air at least {apart} colder or warmer than the water,"
            " no dips.",
            apart=_kelvin(speech, 10.0),
        ),
        speech.say("Put the lid on. Switch unit and pump off and unplug both."),
        speech.say("Write down the water temperature at once, stirred, and then every few hours."),
        speech.say(
            "Go on for 12 hours, or until the water has moved by {rise} or more.",
            rise=_kelvin(speech, 1.0),
        ),
        speech.say("Note the mean air temperature meanwhile; plug in and switch on again."),
        speech.say(
            "Caution: with air below {zero} do not do it. Hoses and pump freeze within the hour.",
            zero=freezing_point(speech),
        ),
    )


def _kelvin(speech: Speech, difference_k: float) -> str:
    return quantity(speech, difference_k, Unit.KELVIN)


def spans_told(speech: Speech, spans: int, *, disturbed: int, without_weather: int) -> str:
    """Return how many spans between readings there are, and how many are of no use."""
    return speech.say_count(
        "{n} span between readings; {disturbed} left out for a fill or a closing, {without}"
        " without measured weather.",
        "{n} spans between readings; {disturbed} left out for a fill or a closing, {without}"
        " without measured weather.",
        spans,
        disturbed=disturbed,
        without=without_weather,
    )
