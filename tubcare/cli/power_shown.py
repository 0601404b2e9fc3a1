"""Power as tables and as JSON with stable fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.energy.calibration_result import Basis, Refusal
from tubcare.words.dates import clock_time, month_and_year, weekday_date
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.learning import (
    back_test_told,
    drift_told,
    found_told,
    goes_by_told,
    spans_told,
)
from tubcare.words.sentences.power import (
    cost_and_standing_told,
    hours_plan_told,
    kwh_told,
    metered_told,
    no_chiller_told,
    rests_on_told,
)

if TYPE_CHECKING:
    from tubcare.cli.output import Json, Output
    from tubcare.energy.uncertainty import Estimate
    from tubcare.services.power import Power
    from tubcare.services.power_hours import HoursPlan
    from tubcare.services.power_learning import Learning
    from tubcare.services.power_spans import PowerSpan


def power_shown(found: Power, output: Output) -> None:
    """Show this month, the season, and each of its months."""
    speech = output.speech
    output.data(
        {
            "tub": found.tub.name,
            "has_weather": found.has_weather,
            "has_price": found.has_price,
            "calibrated": found.site.learned.basis is Basis.METER,
            "goes_by": found.site.learned.basis.value,
            "typical_share": round(found.typical_share, 4),
            "missing_price_hours": found.missing_price_hours,
            "month": _span_data(found.month),
            "season": _span_data(found.season),
            "months": [_span_data(span) for span in found.months],
        }
    )
    output.line(found.tub.name)
    if found.season is None:
        output.line(
            speech.say("This tub was never opened on record, so no season can be told yet.")
        )
        return
    heads = (speech.say("Metered"), speech.say("Modelled"), speech.say("Meter and model"))
    rows = [("", *heads, speech.say("Cost"))]
    if found.month is not None:
        rows.append((speech.say("This month"), *_cells(found.month, output)))
    rows.append((speech.say("This season"), *_cells(found.season, output)))
    rows += [(month_and_year(speech, each.first), *_cells(each, output)) for each in found.months]
    output.table(rows)
    if not found.has_weather:
        output.line(
            speech.say(
                "Nothing can be modelled without weather: tubcare power weather FILE, or"
                " tubcare power means T1 … T12"
            )
        )
    else:
        output.line(
            rests_on_told(
                speech,
                goes_by=found.site.learned.basis,
                typical_share=found.typical_share,
                missing_price_hours=found.missing_price_hours,
            )
        )
    if not found.has_price:
        output.line(speech.say("No price of power is known: tubcare power tariff --price 0.32"))
    now = found.site.build.described
    told = no_chiller_told(speech, cooling_w=now.cooling_w, pump_w=now.pump_w)
    if told:
        way = speech.say("Describe unit and pump: tubcare power build --cooling-w 700 --pump-w 40")
        output.line(f"{told} {way}")


def learning_shown(found: Learning, output: Output) -> None:
    """Show what the meter tells."""
    refused = isinstance(found.found, Refusal)
    data: Json = {
        "tub": found.tub.name,
        "refused": refused,
        "would_help": [each.value for each in found.found.would_help],
        "spans": found.spans,
        "disturbed": found.disturbed,
        "without_weather": found.without_weather,
        "kept": found.kept,
        "goes_by": found.goes_by.value,
    }
    if not isinstance(found.found, Refusal):
        data |= {
            "identified": found.found.identified.value,
            "leak_over_cop_w_k": found.found.leak_over_cop_w_k,
            "leak_over_cop_error_w_k": found.found.leak_over_cop_error_w_k,
            "leak_factor": found.found.factors.leak,
            "noise_share": found.found.noise_share,
        }
    if found.checked is not None:
        data |= {
            "held_out_weeks": len(found.checked.weeks),
            "within_share": found.checked.within_share,
            "bias_share": found.checked.bias_share,
        }
    output.data(data)
    for line in found_told(output.speech, found.found, found.goes_by):
        output.line(line)
    if found.checked is not None:
        output.line(back_test_told(output.speech, found.checked))
    if found.drift is not None:
        for line in drift_told(output.speech, found.drift):
            output.line(line)
    output.line(
        spans_told(
            output.speech,
            found.spans,
            disturbed=found.disturbed,
            without_weather=found.without_weather,
        )
    )
    told = goes_by_told(output.speech, found.goes_by, found.drift)
    if told:
        output.line(told)
    if not refused and not found.kept:
        output.line(
            output.speech.say("What the meter tells is not used yet: tubcare power learn --keep")
        )


def hours_shown(plan: HoursPlan, output: Output) -> None:
    """Show when to run the chiller."""
    speech = output.speech
    output.data(
        {
            "tub": plan.tub.name,
            "low_c": plan.band.low_c,
            "high_c": plan.band.high_c,
            "start_c": plan.start_c,
            "cost_minor": round(plan.cost.value, 2),
            "cost_range_minor": estimate_data(plan.cost),
            "saving_minor": round(plan.saving.value, 2),
            "saving_range_minor": estimate_data(plan.saving),
            "leaves_band_h": plan.leaves_band_h,
            "hours": [
                {
                    "begins": hour.begins.isoformat(),
                    "run_share": hour.run_share,
                    "water_c": round(hour.water_c, 2),
                    "price_minor": round(hour.price_minor, 3),
                }
                for hour in plan.hours
            ],
        }
    )
    rows = [(speech.say("Hour from"), speech.say("Share of the hour"), speech.say("Water after"))]
    rows += [
        (
            f"{weekday_date(speech, hour.begins.date())} {clock_time(speech, hour.begins)}",
            percent(speech, hour.run_share),
            quantity(speech, hour.water_c, Unit.CELSIUS),
        )
        for hour in plan.hours
        if hour.run_share > 0.0
    ]
    if plan.run_h:
        output.table(rows, right=frozenset({1, 2}))
    for line in hours_plan_told(
        speech,
        start_c=plan.start_c,
        run_h=plan.run_h,
        cost=plan.cost,
        saving=plan.saving,
        leaves_band_h=plan.leaves_band_h,
    ):
        output.line(line)


def _cells(span: PowerSpan, output: Output) -> tuple[str, str, str, str]:
    speech = output.speech
    return (
        metered_told(speech, span.metered_kwh, span.metered_days, span.running_days),
        "" if span.modelled is None else kwh_told(speech, span.modelled.kwh),
        "" if span.filled_kwh is None else kwh_told(speech, span.filled_kwh),
        cost_and_standing_told(
            speech, span.filled_minor, span.standing_minor, unpriced_days=span.unpriced_days
        ),
    )


def _span_data(span: PowerSpan | None) -> Json | None:
    if span is None:
        return None
    modelled = span.modelled
    return {
        "first": span.first.isoformat(),
        "last": span.last.isoformat(),
        "running_days": span.running_days,
        "metered_kwh": span.metered_kwh,
        "metered_days": span.metered_days,
        "modelled_kwh": estimate_data(None if modelled is None else modelled.kwh),
        "modelled_days": span.modelled_days,
        "chiller_h": estimate_data(None if modelled is None else modelled.run_h),
        "chiller_starts": estimate_data(None if modelled is None else modelled.starts),
        "filled_kwh": estimate_data(span.filled_kwh),
        "filled_minor": estimate_data(span.filled_minor),
        "unpriced_days": span.unpriced_days,
        "standing_minor": span.standing_minor,
    }


def estimate_data(value: Estimate | None) -> Json | None:
    """Return a value with its range as stable fields, None without one."""
    if value is None:
        return None
    return {"value": value.value, "low": value.low, "high": value.high}
