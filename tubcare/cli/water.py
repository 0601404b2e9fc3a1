"""Commands about the water: how it stands, and the actions behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.cli import water_course, water_files, water_plan, water_shelf, water_test
from tubcare.services.liner_exposure import liner_exposure
from tubcare.services.water_course import next_test_of
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan as water_plan_of
from tubcare.services.water_wear import water_wear
from tubcare.water.judged import READING_OF, Standing
from tubcare.words.dates import weekday_date
from tubcare.words.sentences.water import (
    assumed_text,
    index_meaning,
    index_text,
    range_text,
    standing_text,
    step_in_text,
)
from tubcare.words.sentences.water_care import (
    active_text,
    borate_text,
    clash_text,
    combined_text,
    galvanic_text,
    leak_text,
)
from tubcare.words.sentences.water_plan import next_text
from tubcare.words.sentences.water_wear import exposure_text, wear_text
from tubcare.words.water_values import (
    kit_value,
    moment_text,
    observation,
    quantity_name,
    sighting_text,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.services.desk import Desk
    from tubcare.services.liner_exposure import LinerExposure
    from tubcare.services.water_now import WaterNow
    from tubcare.services.water_wear import WaterWear
    from tubcare.water.judged import Judged

# A shape for each standing, so that no colour is needed.
SHAPES = {
    Standing.INSIDE: "o",
    Standing.BELOW: "v",
    Standing.ABOVE: "^",
    Standing.UNKNOWN: "?",
}


def water(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Run one action about the water."""
    _ACTIONS[arguments.values.action](desk, arguments, output)


def _now(desk: Desk, arguments: Arguments, output: Output) -> None:
    found = water_now(desk, arguments.values.tub)
    wear = water_wear(desk, found.tub.id)
    liner = liner_exposure(desk, found.tub.id)
    output.data(_now_data(found) | _wear_data(wear, liner))
    speech = output.speech
    output.line(found.tub.name)
    output.line(speech.say("May we step in? What is known:"))
    for line in step_in_text(speech, found.step_in):
        output.line(line)
    output.line(_next(desk, found, output))
    output.line()
    output.table([_row(found, each, output) for each in found.judged])
    output.line()
    for name, seen in found.observed.items():
        output.line(observation(speech, name, seen.value))
    if found.index is not None:
        water_c = kit_value(speech, found.kit, "water_c", found.water_c)
        output.line(index_text(speech, found.index, water_c))
        output.line(index_meaning(speech, found.index, found.liner))
    if found.borate is not None:
        output.line(borate_text(speech, found.kit, found.borate))
    if found.contradiction:
        output.line(speech.say("The values contradict each other: {why}", why=found.contradiction))
    if found.assumed:
        output.line(assumed_text(speech, found.kit, found.assumed))
    _care(found, output)
    if not found.drained:
        output.line(wear_text(speech, wear.advice))
        output.line(leak_text(speech, wear.topped_up_week_l, wear.volume_l))
    if liner.exposure is not None:
        told = exposure_text(speech, liner.exposure, liner.window, inspected=liner.inspected)
        output.line(" ".join(told))
    if found.tested_at is None:
        output.line(speech.say("Write down a test with: tubcare water test ph=7.4 …"))


def _next(desk: Desk, found: WaterNow, output: Output) -> str:
    speech, plan = output.speech, water_plan_of(desk, found.tub.id)
    zone = ZoneInfo(found.tub.zone)
    retest = plan.retest_at
    return next_text(
        speech,
        state=plan.state.value,
        left=sum(each.done is None for each in plan.steps),
        test_from=None
        if retest is None
        else moment_text(speech, retest.astimezone(zone), found.now.astimezone(zone)),
        test_by=weekday_date(speech, next_test_of(desk, found.tub.id)),
    )


def _care(found: WaterNow, output: Output) -> None:
    speech = output.speech
    if found.combined is not None:
        output.line(combined_text(speech, found.kit, found.combined, found.volume_l))
    if found.clash is not None:
        output.line(clash_text(speech, found.kit, found.clash))
    if found.active is not None:
        output.line(active_text(speech, found.active))
    for pair in found.pairs:
        output.line(galvanic_text(speech, pair))


def _row(found: WaterNow, each: Judged, output: Output) -> tuple[str, ...]:
    speech, seen = output.speech, each.sighting
    name = READING_OF[each.quantity]
    return (
        SHAPES[each.standing],
        quantity_name(speech, each.quantity),
        "" if seen is None else sighting_text(speech, found.kit, name, seen),
        standing_text(speech, found.kit, each),
        range_text(speech, found.kit, each.limits),
        speech.own(each.limits.document),
    )


def _now_data(found: WaterNow) -> Json:
    facts = found.step_in
    return {
        "tub": found.tub.name,
        "tested_at": None if found.tested_at is None else found.tested_at.isoformat(),
        "age_s": None if facts.age is None else round(facts.age.total_seconds()),
        "waiting_s": None if facts.waiting is None else round(facts.waiting.total_seconds()),
        "inside": facts.inside,
        "outside": facts.outside,
        "unknown": facts.unknown,
        "readings": [_judged_data(each) for each in found.judged],
        "observed": {name: seen.value for name, seen in found.observed.items()},
        "water_c": found.water_c,
        "water_c_measured": found.measured_c,
        "saturation_index": None if found.index is None else round(found.index.value, 3),
        "scaling": None if found.index is None else found.index.scaling.value,
        "contradiction": found.contradiction or None,
        "borate_alkalinity_mg_l": None
        if found.borate is None
        else round(found.borate.alkalinity_mg_l, 2),
        "assumed": [
            {"field": each.field, "value": each.value, "source": each.source.value}
            for each in found.assumed
        ],
    }


def _wear_data(wear: WaterWear, liner: LinerExposure) -> Json:
    exposure = liner.exposure
    return {
        "change_weights": {
            each.reason.value: round(each.share, 3) for each in wear.advice.weights
        },
        "change_due": wear.advice.due,
        "change_l": round(wear.advice.litres),
        "liner_days_outside_ph": None
        if exposure is None
        else round(exposure.ph.days_below + exposure.ph.days_above, 2),
        "liner_days_unknown": None if exposure is None else round(exposure.ph.unknown_days, 2),
        "inspection_share": None if exposure is None else round(exposure.inspection_share, 3),
    }


def _judged_data(each: Judged) -> Json:
    seen = each.sighting
    band = None if seen is None else seen.band
    return {
        "quantity": each.quantity.value,
        "value": None if seen is None else seen.value,
        "band": None if band is None else [band.low, band.high],
        "at": None if seen is None else seen.at.isoformat(),
        "standing": each.standing.value,
        "by": each.by,
        "unknown_because": None if each.unknown is None else each.unknown.value,
        "low": each.limits.low,
        "high": each.limits.high,
        "document": each.limits.document,
        "section": each.limits.section,
        "edited": each.edited,
    }


_ACTIONS: dict[str | None, Callable[[Desk, Arguments, Output], None]] = {
    None: _now,
    "plan": water_plan.plan,
    "done": water_plan.done,
    "dose": water_plan.dose,
    "course": water_course.course,
    "export": water_files.export,
    "import": water_files.take,
    "test": water_test.test,
    "kit": water_test.kit,
    "shelf": water_shelf.shelf,
    "product": water_shelf.product,
    "scoop": water_shelf.scoop,
    "source": water_shelf.source,
    "ranges": water_shelf.ranges,
    "range": water_shelf.change_range,
}
