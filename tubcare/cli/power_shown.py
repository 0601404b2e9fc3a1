"""Power as tables and as JSON with stable fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.energy.calibration import Refusal
from tubcare.words.dates import medium_date, month_and_year
from tubcare.words.money import money
from tubcare.words.sentences.learning import back_test_told, drift_told, found_told
from tubcare.words.sentences.power import cost_told, kwh_told, metered_told, rests_on_told
from tubcare.words.sentences.what_if import idea_told, pay_back_told, remarks_told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.cli.output import Json, Output
    from tubcare.energy.uncertainty import Estimate
    from tubcare.services.power import Power
    from tubcare.services.power_hours import HoursPlan
    from tubcare.services.power_learning import Learning
    from tubcare.services.power_spans import PowerSpan
    from tubcare.services.power_weather import WeatherPreview
    from tubcare.services.power_what_if import Compared, WhatIf


def power_shown(found: Power, output: Output) -> None:
    """Show this month, the season, and each of its months."""
    speech = output.speech
    output.data(
        {
            "tub": found.tub.name,
            "has_weather": found.has_weather,
            "has_price": found.has_price,
            "calibrated": found.site.learned.calibrated,
            "typical_share": round(found.typical_share, 4),
            "missing_price_hours": found.missing_price_hours,
            "month": _span_data(found.month),
            "season": _span_data(found.season),
            "months": [_span_data(span) for span in found.months],
        }
    )
    output.line(found.tub.name)
    if found.season is None:
        output.line("Never opened on record, so no season can be told yet.")
        return
    rows = [("", "Metered", "Modelled", "Meter and model", "Cost")]
    if found.month is not None:
        rows.append(("This month", *_cells(found.month, output)))
    rows.append(("This season", *_cells(found.season, output)))
    rows += [(month_and_year(speech, each.first), *_cells(each, output)) for each in found.months]
    output.table(rows)
    if not found.has_weather:
        output.line(
            "Nothing can be modelled without weather: tubcare power weather FILE, or"
            " tubcare power means T1 … T12"
        )
    else:
        output.line(
            rests_on_told(
                speech,
                calibrated=found.site.learned.calibrated,
                typical_share=found.typical_share,
                missing_price_hours=found.missing_price_hours,
            )
        )
    if not found.has_price:
        output.line("No price of power is known: tubcare power tariff --price 0.32")


def weather_preview_shown(preview: WeatherPreview, output: Output) -> None:
    """Show what a weather file holds."""
    speech = output.speech
    missing = sum(gap.count for gap in preview.gaps)
    output.data(
        {
            "questions": [each.value for each in preview.questions],
            "first": preview.first_on and preview.first_on.isoformat(),
            "last": preview.last_on and preview.last_on.isoformat(),
            "rows": preview.rows,
            "resolution": preview.resolution and preview.resolution.value,
            "typical": preview.typical,
            "missing": missing,
            "rows_left_out": len(preview.bad_rows),
            "replaces": preview.replaces,
            "refusal": preview.refusal,
        }
    )
    if preview.first_on is None or preview.last_on is None or preview.resolution is None:
        output.line("Something has to be told first; see --unit, --date-order and --column.")
        return
    first, last = (medium_date(speech, day) for day in (preview.first_on, preview.last_on))
    kind = "typical year" if preview.typical else "measured"
    output.line(f"{preview.rows} rows, {preview.resolution.value}, {first} to {last}, {kind}")
    output.line(f"{missing} missing, {len(preview.bad_rows)} rows left out")
    if preview.refusal:
        output.line(f"Cannot be used: {preview.refusal}")


def what_if_shown(asked: WhatIf, compared: Sequence[Compared], output: Output) -> None:
    """Show ideas side by side."""
    speech = output.speech
    output.data(
        {
            "tub": asked.tub.name,
            "first": asked.base.first.isoformat(),
            "last": asked.base.last.isoformat(),
            "ideas": [
                {
                    "kind": None if each.idea is None else each.idea.kind.value,
                    "amount": None if each.idea is None else each.idea.amount,
                    "build_up": None if each.idea is None else each.idea.build_up,
                    "kwh": round(each.outcome.kwh, 3),
                    "cost_minor": each.outcome.rounded_cost_minor,
                    "saving_minor": round(each.outcome.saving_minor),
                    "pay_back_seasons": each.outcome.pay_back_seasons,
                    "traps_pump_heat": each.outcome.traps_pump_heat,
                    "cannot_hold": each.outcome.cannot_hold,
                }
                for each in compared
            ],
        }
    )
    rows = [("A season", "kWh", "Cost", "Saves", "Pays back")]
    rows += [
        (
            idea_told(speech, each.idea),
            f"{each.outcome.kwh:.0f}",
            money(speech, each.outcome.rounded_cost_minor),
            "" if each.idea is None else money(speech, round(each.outcome.saving_minor)),
            pay_back_told(speech, each.outcome),
        )
        for each in compared
    ]
    output.table(rows, right=frozenset({1, 2, 3}))
    for each in compared:
        remark = remarks_told(speech, each.outcome)
        if remark:
            output.line(f"{idea_told(speech, each.idea)}: {remark}")


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
    for line in found_told(output.speech, found.found):
        output.line(line)
    if found.checked is not None:
        output.line(back_test_told(output.speech, found.checked))
    if found.drift is not None:
        for line in drift_told(output.speech, found.drift):
            output.line(line)
    output.line(
        f"{found.spans} spans between readings; {found.disturbed} disturbed,"
        f" {found.without_weather} without measured weather"
    )
    if not refused:
        output.line("In use." if found.kept else "Not in use: tubcare power learn --keep")


def hours_shown(plan: HoursPlan, output: Output) -> None:
    """Show when to run the chiller."""
    speech = output.speech
    output.data(
        {
            "tub": plan.tub.name,
            "low_c": plan.band.low_c,
            "high_c": plan.band.high_c,
            "start_c": plan.start_c,
            "cost_minor": round(plan.cost_minor, 2),
            "saving_minor": round(plan.saving_minor, 2),
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
    rows = [("From", "Run", "Water after")]
    rows += [
        (f"{hour.begins:%a %H:%M}", f"{hour.run_share:.0%}", f"{hour.water_c:.1f} °C")
        for hour in plan.hours
        if hour.run_share > 0.0
    ]
    output.table(rows, right=frozenset({1, 2}))
    cost, saving = (money(speech, round(value)) for value in (plan.cost_minor, plan.saving_minor))
    output.line(f"{cost}, {saving} less than a thermostat in the middle of the band")
    if plan.leaves_band_h:
        output.line(f"In {plan.leaves_band_h} hours no plan keeps the band.")


def _cells(span: PowerSpan, output: Output) -> tuple[str, str, str, str]:
    speech = output.speech
    return (
        metered_told(speech, span.metered_kwh, span.metered_days, span.running_days),
        "" if span.modelled is None else kwh_told(speech, span.modelled.kwh),
        "" if span.filled_kwh is None else kwh_told(speech, span.filled_kwh),
        "" if span.filled_minor is None else cost_told(speech, span.filled_minor),
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
        "modelled_kwh": _estimate_data(None if modelled is None else modelled.kwh),
        "modelled_days": span.modelled_days,
        "chiller_h": _estimate_data(None if modelled is None else modelled.run_h),
        "filled_kwh": _estimate_data(span.filled_kwh),
        "filled_minor": _estimate_data(span.filled_minor),
        "standing_minor": span.standing_minor,
    }


def _estimate_data(value: Estimate | None) -> Json | None:
    if value is None:
        return None
    return {"value": value.value, "low": value.low, "high": value.high}
