"""Commands about the dosing plan: show it, tick a step."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import PlanState
from tubcare.words.money import money
from tubcare.words.plan_terms import caution_told
from tubcare.words.sentences.waits import cut_short_text
from tubcare.words.sentences.water import assumed_text
from tubcare.words.sentences.water_advice import advice_text, outlook_text
from tubcare.words.sentences.water_care import neutralise_text
from tubcare.words.sentences.water_course import dose_text
from tubcare.words.sentences.water_plan import (
    change_text,
    expected_text,
    head_text,
    plan_state_text,
    step_purpose,
    step_title,
    unread_text,
    wait_text,
)
from tubcare.words.water_values import moment_text

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.services.desk import Desk
    from tubcare.services.water_plan_model import CutShort, PlannedStep, WaterPlan
    from tubcare.water.measures import StockSolution
    from tubcare.water.plan_model import DosingPlan
    from tubcare.words.locale import Speech


def plan(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what to do about the water."""
    found = water_plan(desk, arguments.values.tub)
    output.data(plan_data(found, output.speech))
    speech = output.speech
    output.line(found.tub.name)
    if found.state is not PlanState.STEPS or found.whole is None:
        output.line(plan_state_text(speech, found.state.value))
    else:
        output.line(" ".join(_head(desk, found, found.whole, speech)))
    for each in found.steps:
        output.line()
        _step(found, each, output)
    if found.whole is not None:
        output.line()
        if found.whole.change is not None:
            output.line(change_text(speech, found.whole.change, found.whole.advice))
        for advice in found.whole.advice:
            output.line(advice_text(speech, found.kit, advice))
        output.line(outlook_text(speech, found.whole.outlook))
    if found.unread:
        output.line(unread_text(speech, sorted(found.unread)))
    if found.other_doses:
        names = ", ".join(found.other_doses)
        output.line(
            speech.say("Added since the test outside this plan: {names}. Test again.", names=names)
        )
    if found.assumed:
        output.line(assumed_text(speech, found.kit, found.assumed))


def _head(desk: Desk, found: WaterPlan, whole: DosingPlan, speech: Speech) -> tuple[str, ...]:
    zone = ZoneInfo(found.tub.zone)
    now = desk.now().astimezone(zone)
    next_at, test_from = (
        None if at is None else moment_text(speech, at.astimezone(zone), now)
        for at in (found.next_at, found.retest_at)
    )
    left = sum(each.done is None for each in found.steps)
    return head_text(speech, whole, left=left, next_at=next_at, test_from=test_from)


def done(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Tick a step of the plan."""
    values = arguments.values
    on = values.on or arguments.today
    ticked = do_step(desk, values.tub, values.step, on=on, at=values.at)
    planned = ticked.planned
    output.data(
        {"step": planned.number, "kind": planned.step.kind.value, "supply": planned.supply}
    )
    speech = output.speech
    output.line(speech.say("Recorded: {what}.", what=step_title(speech, planned.step)))
    found = water_plan(desk, values.tub)
    if ticked.cut_short is not None:
        output.line(_cut_short(desk, found, ticked.cut_short, speech))
    last = planned.number == len(found.steps)
    output.line(wait_text(speech, planned.step, last=last))


def _cut_short(desk: Desk, found: WaterPlan, wait: CutShort, speech: Speech) -> str:
    zone = ZoneInfo(found.tub.zone)
    until = moment_text(speech, wait.until.astimezone(zone), desk.now().astimezone(zone))
    return cut_short_text(speech, wait.after, until, is_over=wait.is_over)


def dose(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down something added outside the plan."""
    values, speech = arguments.values, output.speech
    on = values.on or arguments.today
    found = add_dose(desk, values.tub, values.product, values.amount, on=on)
    output.data(
        {
            "tub": found.tub.name,
            "product": found.product,
            "amount": found.amount,
            "unit": found.unit,
            "wait_until": found.wait_until.isoformat(),
        }
    )
    output.line(f"{found.tub.name}: {dose_text(speech, found.product, found.amount, found.unit)}")
    for caution in found.cautions:
        output.line(caution_told(speech, caution))


def _step(found: WaterPlan, each: PlannedStep, output: Output) -> None:
    speech, step = output.speech, each.step
    mark = "x" if each.done is not None else " "
    last = each.number == len(found.steps)
    output.line(f"[{mark}] {each.number}. {step_title(speech, step)}")
    purpose = step_purpose(speech, step)
    cost = f"; {money(speech, step.cost_minor)}" if step.cost_minor else ""
    output.line(f"    {purpose[:1].upper()}{purpose[1:]}{cost}")
    for caution in each.cautions:
        output.line("    " + caution_told(speech, caution))
    if each.neutralise is not None:
        output.line(f"    {neutralise_text(speech, each.neutralise, each.drained_ph)}")
    output.line(f"    {wait_text(speech, step, last=last)}")
    told = expected_text(speech, found.kit, step.expected, found.quantities)
    output.line(f"    {told}")


def plan_data(found: WaterPlan, speech: Speech) -> Json:
    """Return the plan as stable fields."""
    return {
        "tub": found.tub.name,
        "state": found.state.value,
        "test_at": None if found.test_at is None else found.test_at.isoformat(),
        "steps": [_step_data(each, speech) for each in found.steps],
        "cost_minor": None if found.whole is None else found.whole.cost_minor,
        "reached": None if found.whole is None else found.whole.reached,
        "advice": []
        if found.whole is None
        else [
            {"kind": a.kind.value, "about": a.about, "value": a.value} for a in found.whole.advice
        ],
        "not_read": sorted(quantity.value for quantity in found.unread),
        "other_doses": list(found.other_doses),
        "next_at": None if found.next_at is None else found.next_at.isoformat(),
        "retest_at": None if found.retest_at is None else found.retest_at.isoformat(),
    }


def _step_data(each: PlannedStep, speech: Speech) -> Json:
    step = each.step
    portion = step.portion
    measured = None if portion is None else portion.measured
    return {
        "number": each.number,
        "kind": step.kind.value,
        "product": None if step.product is None else step.product.name,
        "amount": None if portion is None else portion.amount,
        "unit": None if portion is None else portion.unit,
        "measure": None if measured is None else measured.measure.name,
        "count": None if measured is None else measured.count,
        "stock": None if portion is None else _stock_data(portion.stock),
        "change_l": step.change_l,
        "wait_min": step.wait_min,
        "retest_min": step.retest_min,
        "cost_minor": step.cost_minor,
        "cautions": list(map(speech.own, each.cautions)),
        "expected": {
            "ph": round(step.expected.test.ph, 3),
            "alkalinity_mg_l": round(step.expected.test.alkalinity_mg_l, 2),
            "free_chlorine_mg_l": round(step.expected.test.free_chlorine_mg_l, 3),
            "saturation_index": round(step.expected.saturation_index, 3),
        },
        "done_at": None if each.done is None else each.done.at.isoformat(),
    }


def _stock_data(stock: StockSolution | None) -> Json | None:
    if stock is None:
        return None
    return {
        "measure": stock.measure.name,
        "count": stock.scoops,
        "solid_g": round(stock.solid_g, 3),
        "made_ml": stock.made_ml,
        "use_ml": stock.use_ml,
    }
