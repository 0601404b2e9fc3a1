"""What is told about power: amounts with their range, and what they rest on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.money import money
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
    from tubcare.energy.uncertainty import Estimate
    from tubcare.words.locale import Speech

_SMALL_RANGE = 0.005


def kwh_told(speech: Speech, kwh: Estimate) -> str:
    """Return an energy with its range: 52 kWh (41 to 66)."""
    value = quantity(speech, kwh.value, Unit.KILOWATT_HOUR, 0)
    if not _has_range(kwh):
        return value
    low, high = (quantity(speech, end, Unit.KILOWATT_HOUR, 0) for end in (kwh.low, kwh.high))
    return speech.say("{value} ({low} to {high})", value=value, low=low, high=high)


def cost_told(speech: Speech, minor: Estimate) -> str:
    """Return an amount of money with its range."""
    value = money(speech, round(minor.value))
    if not _has_range(minor):
        return value
    low, high = (money(speech, round(end)) for end in (minor.low, minor.high))
    return speech.say("{value} ({low} to {high})", value=value, low=low, high=high)


def hours_told(speech: Speech, hours: Estimate) -> str:
    """Return compressor hours with their range."""
    value, low, high = (
        quantity(speech, end, Unit.HOUR, 0) for end in (hours.value, hours.low, hours.high)
    )
    return speech.say("{value} ({low} to {high})", value=value, low=low, high=high)


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
    speech: Speech, *, calibrated: bool, typical_share: float, missing_price_hours: int
) -> str:
    """Return what the model rests on, in a sentence or two."""
    told = [
        speech.say("The model is fitted to this tub's meter.")
        if calibrated
        else speech.say("The model goes by the description of this tub, hence the wide range.")
    ]
    if typical_share > _SMALL_RANGE:
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


def hours_plan_told(
    speech: Speech, *, start_c: float, cost_minor: float, saving_minor: float, leaves_band_h: int
) -> tuple[str, ...]:
    """Return what a running plan costs and saves, and that nothing is switched by it."""
    water = quantity(speech, start_c, Unit.CELSIUS)
    cost = money(speech, round(cost_minor))
    if round(saving_minor):
        told = [
            speech.say(
                "From {water} now. The compressor costs {cost}, {saving} less than a thermostat in"
                " the middle of the band.",
                water=water,
                cost=cost,
                saving=money(speech, round(saving_minor)),
            )
        ]
    else:
        told = [
            speech.say(
                "From {water} now. The compressor costs {cost}, as much as a thermostat in the"
                " middle of the band.",
                water=water,
                cost=cost,
            )
        ]
    if round(cost_minor) < 0:
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


def _has_range(value: Estimate) -> bool:
    return value.high - value.low > _SMALL_RANGE * max(abs(value.value), 1.0)
