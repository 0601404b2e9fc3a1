"""What is told about power: amounts with their range, and what they rest on."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.energy.calibration_result import Basis
from tubcare.words.money import money, whole_money
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity, quantity_figure

if TYPE_CHECKING:
    from tubcare.energy.uncertainty import Estimate
    from tubcare.words.locale import Speech

_SMALL_RANGE = 0.005
_WHOLE_FROM = 10


def kwh_told(speech: Speech, kwh: Estimate) -> str:
    """Return an energy with its range: 52 kWh (41 to 66)."""
    if not _has_range(kwh):
        return quantity(speech, kwh.value, Unit.KILOWATT_HOUR, 0)
    # Ends that would both be told as the value itself take a decimal more.
    decimals = 1 if round(kwh.low) == round(kwh.high) else 0
    return _with_range(speech, kwh, Unit.KILOWATT_HOUR, decimals)


def cost_told(speech: Speech, minor: Estimate) -> str:
    """Return an amount of money with its range: €81.22 (€65 to €102).

    The ends of a range from ten units on are told in whole ones, rounded away from the middle.
    """
    value = money(speech, round(minor.value))
    if not _has_range(minor):
        return value
    unit = speech.currency.minor_per_unit
    if max(abs(minor.low), abs(minor.high)) < _WHOLE_FROM * unit:
        low, high = (money(speech, round(end)) for end in (minor.low, minor.high))
    else:
        ends = math.floor(minor.low / unit), math.ceil(minor.high / unit)
        low, high = (whole_money(speech, end * unit) for end in ends)
    return speech.say("{value} ({low} to {high})", value=value, low=low, high=high)


def hours_told(speech: Speech, hours: Estimate) -> str:
    """Return compressor hours with their range."""
    if round(hours.low) == round(hours.high):
        return quantity(speech, hours.value, Unit.HOUR, 0)
    return _with_range(speech, hours, Unit.HOUR, 0)


def ran_told(speech: Speech, hours: Estimate, starts: Estimate) -> str:
    """Return how long the compressor ran and how often it started: 52 h (41 to 66), 190 starts."""
    return speech.say_count(
        "{hours}, {n} start",
        "{hours}, {n} starts",
        round(starts.value),
        hours=hours_told(speech, hours),
    )


def metered_told(speech: Speech, kwh: float | None, days: int, of_days: int) -> str:
    """Return what the meter counted, and on how many of the running days."""
    if kwh is None:
        return speech.say("no meter reading covers it")
    return speech.say_count(
        "{kwh} on {n} of {days} days",
        "{kwh} on {n} of {days} days",
        days,
        kwh=quantity(speech, kwh, Unit.KILOWATT_HOUR, 0),
        days=of_days,
    )


def rests_on_told(
    speech: Speech, *, goes_by: Basis, typical_share: float, missing_price_hours: int
) -> str:
    """Return what the model rests on, in a sentence or two."""
    told = [_goes_by(speech, goes_by)]
    if typical_share > 1 - _SMALL_RANGE:
        told.append(speech.say("The weather is a typical one, none of it measured."))
    elif typical_share > _SMALL_RANGE:
        told.append(
            speech.say(
                "For {share} of the hours the weather is a typical one, not measured.",
                share=percent(speech, typical_share),
            )
        )
    if missing_price_hours:
        told.append(
            speech.say_count(
                "{n} hour has no price, so the cost is too low.",
                "{n} hours have no price, so the cost is too low.",
                missing_price_hours,
            )
        )
    return " ".join(told)


def _goes_by(speech: Speech, goes_by: Basis) -> str:
    match goes_by:
        case Basis.METER:
            return speech.say("The model is fitted to this tub's meter.")
        case Basis.DRIFT_TEST:
            return speech.say(
                "The model takes this tub's leak from the drift test; unit and pump go by the"
                " description."
            )
        case Basis.DESCRIPTION:
            return speech.say(
                "The model goes by the description of this tub, hence the wide range."
            )


def pull_down_told(
    speech: Speech, hours: Estimate | None, *, cooling_w: float, fill_c: float, air_c: float
) -> str:
    """Return how long a unit needs after a fill, that it never gets there, or "" for no unit."""
    fill = quantity(speech, fill_c, Unit.CELSIUS)
    if hours is not None:
        return speech.say(
            "From a fill at {fill} the unit needs about {hours} to the set point at {air} air.",
            fill=fill,
            hours=_hours_or_never(speech, hours),
            air=quantity(speech, air_c, Unit.CELSIUS),
        )
    if cooling_w > 0:
        return speech.say("From a fill at {fill} the unit never reaches the set point.", fill=fill)
    return ""


def _hours_or_never(speech: Speech, hours: Estimate) -> str:
    value, low = (quantity(speech, each, Unit.HOUR, 0) for each in (hours.value, hours.low))
    if math.isinf(hours.high):
        return speech.say("{value} ({low} or more, perhaps never)", value=value, low=low)
    return hours_told(speech, hours)


def no_chiller_told(speech: Speech, *, cooling_w: float, pump_w: float) -> str:
    """Return what is counted of a tub without a chiller, "" for one with it."""
    if cooling_w > 0:
        return ""
    if pump_w == 0:
        return speech.say("The profile has neither chiller nor pump, so nothing draws power.")
    return speech.say(
        "The profile has no chiller, so only the pump of {watts} is counted.",
        watts=quantity(speech, pump_w, Unit.WATT),
    )


def cost_and_standing_told(
    speech: Speech,
    minor: Estimate | None,
    standing_minor: float | None = None,
    *,
    unpriced_days: int = 0,
) -> str:
    """Return a cost with its range, and the standing charge beside it; "" while none is known."""
    if minor is None:
        return ""
    told = cost_told(speech, minor)
    if unpriced_days:
        told = speech.say("at least {cost}", cost=told)
    if not standing_minor:
        return told
    amount = money(speech, round(standing_minor))
    return speech.say("{cost} and {amount} standing charge", cost=told, amount=amount)


def hours_plan_told(
    speech: Speech,
    *,
    start_c: float,
    run_h: float,
    cost: Estimate,
    saving: Estimate,
    leaves_band_h: int,
) -> tuple[str, ...]:
    """Return what a running plan costs and saves, and that nothing is switched by it."""
    water = quantity(speech, start_c, Unit.CELSIUS)
    if not run_h:
        told = [speech.say("From {water} now the chiller rests in all these hours.", water=water)]
    elif round(saving.value):
        told = [
            speech.say(
                "From {water} now. The compressor costs {cost}, {saving} less than a thermostat in"
                " the middle of the band.",
                water=water,
                cost=cost_told(speech, cost),
                saving=cost_told(speech, saving),
            )
        ]
    else:
        told = [
            speech.say(
                "From {water} now. The compressor costs {cost}, as much as a thermostat in the"
                " middle of the band.",
                water=water,
                cost=cost_told(speech, cost),
            )
        ]
    if run_h and round(cost.value) < 0:
        told.append(
            speech.say("The water ends colder than it began; that cold counts as money kept.")
        )
    if leaves_band_h:
        told.append(
            speech.say_count(
                "In {n} hour no plan keeps the band.",
                "In {n} hours no plan keeps the band.",
                leaves_band_h,
            )
        )
    return (*told, speech.say("Nothing is switched by this program."))


def _with_range(speech: Speech, told: Estimate, unit: Unit, decimals: int) -> str:
    """Return an estimate with its range; the unit stands once."""
    return speech.say(
        "{value} ({low} to {high})",
        value=quantity(speech, told.value, unit, decimals),
        low=quantity_figure(speech, told.low, unit, decimals),
        high=quantity_figure(speech, told.high, unit, decimals),
    )


def _has_range(value: Estimate) -> bool:
    return value.high - value.low > _SMALL_RANGE * max(abs(value.value), 1.0)
