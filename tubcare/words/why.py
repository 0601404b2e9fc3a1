"""Why something is due, in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.model import (
    Counter,
    Edge,
    ElapsedReason,
    FirstReason,
    Interval,
    OnceReason,
    Period,
    ReadingReason,
    RuleReason,
    SeasonReason,
    Status,
    UseReason,
)

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.model import Range, Reason
    from tubcare.words.speech import Speech

STATUS = {
    Status.COMING: "coming",
    Status.DUE: "due",
    Status.LATE: "late",
    Status.OVERDUE: "overdue",
    Status.ASLEEP: "asleep",
    Status.DONE: "done",
    Status.SKIPPED: "skipped",
}
COUNTERS = {
    Counter.DIP: "dips",
    Counter.PUMP_H: "pump hours",
    Counter.CHILLER_H: "chiller hours",
    Counter.KWH: "kWh",
    Counter.LITRE: "litres",
}
EDGES = {
    Edge.OPENING: "opening",
    Edge.CLOSING: "closing",
    Edge.FROST_WATCH: "the first frost to watch for",
    Edge.FROST_DRY: "the day by which all must be dry",
}
QUANTITIES = {
    "ph": "pH",
    "free_chlorine_mg_l": "free chlorine",
    "total_chlorine_mg_l": "total chlorine",
    "combined_chlorine_mg_l": "combined chlorine",
    "bromine_mg_l": "bromine",
    "peroxide_mg_l": "hydrogen peroxide",
    "alkalinity_mg_l": "alkalinity",
    "hardness_mg_l": "calcium hardness",
    "cyanurate_mg_l": "cyanurate",
    "chloride_mg_l": "chloride",
    "tds_mg_l": "dissolved solids",
    "orp_mv": "redox potential",
    "water_c": "water temperature",
    "air_c": "air temperature",
    "flow_l_min": "flow",
    "pressure_bar": "filter pressure",
    "clarity": "clarity",
    "level_drop_mm": "level drop",
    "top_up_l": "top-up",
}
_PERIODS = {
    Period.DAY: ("day", "days"),
    Period.WEEK: ("week", "weeks"),
    Period.MONTH: ("month", "months"),
    Period.YEAR: ("year", "years"),
}


def interval_words(every: Interval) -> str:
    """Return an interval such as "30 days"."""
    one, many = _PERIODS[every.period]
    return f"1 {one}" if every.count == 1 else f"{every.count} {many}"


def why(  # noqa: PLR0911  one sentence for each reason
    reason: Reason, today: date, speech: Speech
) -> str:
    """Return why an occurrence is due: "31 days since 12 May; every 30 days"."""
    match reason:
        case RuleReason():
            return f"set for {speech.day(reason.on)}"
        case ElapsedReason():
            return _elapsed(reason, today, speech)
        case UseReason():
            used = speech.number(round(reason.used))
            amount = speech.number(reason.amount)
            return f"{used} of {amount} {COUNTERS[reason.counter]} since the last time"
        case SeasonReason():
            return _season(reason, speech)
        case ReadingReason():
            return _reading(reason, speech)
        case OnceReason():
            return f"once, on {speech.day(reason.on)}"
        case FirstReason():
            return f"first time, planned for {speech.day(reason.on)}"


def _elapsed(reason: ElapsedReason, today: date, speech: Speech) -> str:
    days = (today - reason.since).days
    since = "the opening on " if reason.since_opening else ""
    counted = "1 day" if days == 1 else f"{days} days"
    began = f"{since}{speech.short_date(reason.since)}"
    text = f"{counted} since {began}; every {interval_words(reason.every)}"
    if reason.paused_days:
        text += f", {reason.paused_days} days not counted"
    if reason.result is not None:
        text += f" after the result “{reason.result.value}”"
    return text


def _season(reason: SeasonReason, speech: Speech) -> str:
    days = abs(reason.offset_days)
    edge = f"{EDGES[reason.edge]} on {speech.short_date(reason.edge_on)}"
    planned = " (planned)" if reason.planned else ""
    if not days:
        return f"with {edge}{planned}"
    counted = "1 day" if days == 1 else f"{days} days"
    side = "before" if reason.offset_days < 0 else "after"
    return f"{counted} {side} {edge}{planned}"


def _reading(reason: ReadingReason, speech: Speech) -> str:
    name = QUANTITIES.get(reason.condition.quantity, reason.condition.quantity)
    value = speech.number(reason.value)
    limit = reason.condition.limit
    if limit is not None:
        side = "below" if reason.value < limit else "above"
        bound = f"{side} {speech.number(limit)}"
    else:
        bound = _against(reason.allowed, speech)
    return f"{name} {value} on {speech.short_date(reason.taken_on)}, {bound}"


def _against(allowed: Range | None, speech: Speech) -> str:
    if allowed is None:
        return "outside its range"
    low, high = allowed.low, allowed.high
    if low is not None and high is not None:
        return f"outside {speech.number(low)} to {speech.number(high)}"
    if high is not None:
        return f"above {speech.number(high)}"

    return f"below {speech.number(low or 0)}"
