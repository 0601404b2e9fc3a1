"""The command that shows the course of a reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.cli.choosing import member
from tubcare.services.water_course import CourseEvent, EventKind, water_course
from tubcare.water.judged import READING_OF
from tubcare.water.ranges import Quantity
from tubcare.words.dates import weekday_date
from tubcare.words.sentences.water_course import (
    dose_text,
    fresh_text,
    loss_text,
    next_test_text,
)
from tubcare.words.water_values import kit_figure, kit_value

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.services.desk import Desk
    from tubcare.services.water_course import CourseDay, WaterCourse
    from tubcare.words.locale import Speech


def course(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what was measured, added and changed, and what to expect."""
    found = water_course(
        desk, arguments.values.tub, member(Quantity, "quantity", arguments.values.quantity)
    )
    output.data(_data(found))
    speech = output.speech
    if found.loss is not None:
        output.line(loss_text(speech, found.quantity, found.loss.rate))
    output.line(next_test_text(speech, found.next_test))
    shown = [d for d in found.days if d.measured is not None or d.events or d.expected]
    output.table([_row(speech, found, day) for day in shown])


def _row(speech: Speech, found: WaterCourse, day: CourseDay) -> tuple[str, ...]:
    kit, name = found.kit, READING_OF[found.quantity]
    measured = "" if day.measured is None else kit_value(speech, kit, name, day.measured)
    expected = ""
    if day.expected is not None:
        low = kit_figure(speech, kit, name, day.expected.low)
        expected = speech.say(
            "expected {low} to {high}",
            low=low,
            high=kit_value(speech, kit, name, day.expected.high),
        )
    events = ", ".join(_event(speech, each) for each in day.events)
    return (weekday_date(speech, day.on), measured, expected, events)


def _event(speech: Speech, each: CourseEvent) -> str:
    if each.kind is EventKind.DOSE:
        return dose_text(speech, each.product, each.amount, each.unit)
    return fresh_text(speech, each.amount, topped_up=each.kind is EventKind.TOP_UP)


def _data(found: WaterCourse) -> Json:
    loss = found.loss
    return {
        "tub": found.tub.name,
        "quantity": found.quantity.value,
        "next_test": None if found.next_test is None else found.next_test.isoformat(),
        "loss_per_day": None
        if loss is None
        else [loss.rate.low_per_day, loss.rate.rate_per_day, loss.rate.high_per_day],
        "days": [
            {
                "on": day.on.isoformat(),
                "measured": day.measured,
                "expected": None
                if day.expected is None
                else [day.expected.low, day.expected.value, day.expected.high],
                "events": [
                    {
                        "kind": e.kind.value,
                        "product": e.product,
                        "amount": e.amount,
                        "unit": e.unit,
                    }
                    for e in day.events
                ],
            }
            for day in found.days
        ],
    }
