"""The chart of a course: measured, expected, the range, and marks where something was done."""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_uppercase
from typing import TYPE_CHECKING, TypeAlias

from tubcare.desktop.charts import Chart, ChartKind, Series
from tubcare.services.water_course import EventKind
from tubcare.water.judged import READING_OF
from tubcare.words.dates import day_and_month
from tubcare.words.sentences.water_course import (
    dose_text,
    fresh_text,
    loss_text,
    next_test_text,
    no_loss_text,
)
from tubcare.words.water_values import kit_value, quantity_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.services.water_course import CourseDay, CourseEvent, WaterCourse
    from tubcare.water.kit import Kit
    from tubcare.words.locale import Speech

_Thing: TypeAlias = "tuple[EventKind, str]"


def course_chart(speech: Speech, course: WaterCourse, *, sanitiser: bool) -> Chart:
    """Return the chart of a course, in the units of the kit."""
    kit, name = course.kit, READING_OF[course.quantity]
    days = course.days
    measured = [_shown(kit, name, day.measured) for day in days]
    limits = course.limits.limits
    low, high = _shown(kit, name, limits.low), _shown(kit, name, limits.high)
    signs = _signs(days)
    expected = [day.expected for day in days]
    series = [
        Series(name=speech.say("Measured"), values=tuple(measured), bridged=True),
        Series(
            name=speech.say("Expected"),
            values=tuple(_shown(kit, name, None if e is None else e.value) for e in expected),
            low=tuple(_shown(kit, name, None if e is None else e.low) for e in expected),
            high=tuple(_shown(kit, name, None if e is None else e.high) for e in expected),
        ),
        Series(
            name=speech.say("Added or changed"),
            values=_places(days, measured),
            points_only=True,
            texts=tuple(events_text(speech, day.events) for day in days),
            signs=tuple("\n".join(_signs_of(signs, day.events)) for day in days),
        ),
    ]
    for edge, title in ((low, speech.say("Lowest")), (high, speech.say("Highest"))):
        if edge is not None:
            between = (None,) * (len(days) - 2)
            series.append(Series(name=title, values=(edge, *between, edge), bridged=True))
    return Chart(
        kind=ChartKind.LINES,
        title=quantity_name(speech, course.quantity),
        told=" ".join(_told(speech, course, sanitiser=sanitiser)),
        labels=tuple(day_and_month(speech, day.on) for day in days),
        series=tuple(series),
        figure=_Figure(speech, kit, name),
        labels_title=speech.say("Day"),
        key=_key(speech, signs),
    )


def events_text(speech: Speech, events: Sequence[CourseEvent]) -> str:
    """Return what was done on a day, empty for nothing."""
    told = []
    for each in events:
        if each.kind is EventKind.DOSE:
            told.append(dose_text(speech, each.product, each.amount, each.unit))
        else:
            topped = each.kind is EventKind.TOP_UP
            told.append(fresh_text(speech, each.amount, topped_up=topped))
    return ", ".join(told)


def _signs(days: Sequence[CourseDay]) -> dict[_Thing, str]:
    """Return a letter for each thing that was added or done, in the order of its first day."""
    things = dict.fromkeys((each.kind, each.product) for day in days for each in day.events)
    return {thing: ascii_uppercase[place % 26] for place, thing in enumerate(things)}


def _signs_of(signs: Mapping[_Thing, str], events: Sequence[CourseEvent]) -> list[str]:
    return list(dict.fromkeys(signs[each.kind, each.product] for each in events))


def _key(speech: Speech, signs: Mapping[_Thing, str]) -> tuple[str, ...]:
    """Return what the letters stand for."""
    water = {
        EventKind.CHANGE: speech.say("water changed"),
        EventKind.TOP_UP: speech.say("topped up"),
    }
    return tuple(
        speech.say("{letter} = {what}", letter=letter, what=product or water[kind])
        for (kind, product), letter in signs.items()
    )


@dataclass(frozen=True, slots=True)
class _Figure:
    """Writes a value that is in the unit of the kit already."""

    speech: Speech
    kit: Kit
    name: str

    def __call__(self, value: float) -> str:
        return kit_value(self.speech, self.kit, self.name, self.kit.inside(self.name, value))


def _told(speech: Speech, course: WaterCourse, *, sanitiser: bool) -> list[str]:
    told = []
    if course.loss is not None:
        told.append(loss_text(speech, course.quantity, course.loss.rate))
    elif sanitiser:
        told.append(no_loss_text(speech))
    told.append(next_test_text(speech, course.next_test))
    return told


def _shown(kit: Kit, name: str, value: float | None) -> float | None:
    return None if value is None else kit.shown(name, value)


def _places(
    days: Sequence[CourseDay], measured: Sequence[float | None]
) -> tuple[float | None, ...]:
    """Return where the marks stand: at the last value read before, else at the first after."""
    known = [value for value in measured if value is not None]
    last = known[0] if known else 0.0
    found: list[float | None] = []
    for day, value in zip(days, measured, strict=True):
        last = last if value is None else value
        found.append(last if day.events else None)
    return tuple(found)
