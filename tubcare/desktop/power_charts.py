"""The charts of power: the model against the meter by week, and cost by month."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from tubcare.desktop.charts import Chart, ChartKind, Series
from tubcare.words.dates import day_and_month, month_name
from tubcare.words.money import money, money_tick
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
    from tubcare.services.power import Power
    from tubcare.services.power_spans import PowerSpan
    from tubcare.words.locale import Speech

_DECIMALS = 2


def model_chart(speech: Speech, power: Power) -> Chart:
    """Return energy a day, week by week: what the meter counted and what the model says."""
    weeks = power.weeks
    series = [Series(name=speech.say("Meter"), values=tuple(_metered(week) for week in weeks))]
    if power.has_weather and weeks:
        series.append(
            Series(
                name=speech.say("Model"),
                values=tuple(_modelled(week, "value") for week in weeks),
                low=tuple(_modelled(week, "low") or 0.0 for week in weeks),
                high=tuple(_modelled(week, "high") or 0.0 for week in weeks),
            )
        )
    return Chart(
        kind=ChartKind.LINES,
        title=speech.say("Energy a day, by week"),
        told=_within(speech, power),
        labels=tuple(day_and_month(speech, week.first, week.first) for week in weeks),
        series=tuple(series),
        figure=_Energy(speech),
        tick=partial(_energy_tick, speech),
        labels_title=speech.say("Week from"),
    )


def cost_chart(speech: Speech, power: Power) -> Chart:
    """Return the cost of each month: the meter where it covers the days, the model elsewhere."""
    unit = speech.currency.minor_per_unit
    values = tuple(
        None if month.filled_minor is None else month.filled_minor.value / unit
        for month in power.months
    )
    return Chart(
        kind=ChartKind.BARS,
        title=speech.say("Cost of power by month"),
        told="" if power.has_price else speech.say("No price of power is known."),
        labels=tuple(
            month_name(speech, month.first.month, "abbreviated") for month in power.months
        ),
        series=(Series(name=speech.say("Cost"), values=values),),
        figure=_Cost(speech),
        tick=partial(money_tick, speech),
        labels_title=speech.say("Month"),
    )


def _within(speech: Speech, power: Power) -> str:
    """Return in how many weeks the meter lies within the model's range."""
    both = [
        week
        for week in power.weeks
        if week.modelled is not None and week.metered_days == week.running_days > 0
    ]
    if not both:
        return ""
    inside = sum(
        1
        for week in both
        if week.modelled is not None
        and week.metered_kwh is not None
        and week.modelled.kwh.low <= week.metered_kwh <= week.modelled.kwh.high
    )
    return speech.say_count(
        "In {inside} of {n} metered week the meter lies within the model's range.",
        "In {inside} of {n} metered weeks the meter lies within the model's range.",
        len(both),
        inside=inside,
    )


def _metered(week: PowerSpan) -> float | None:
    return None if week.metered_kwh is None else week.metered_kwh / max(1, week.metered_days)


def _modelled(week: PowerSpan, end: str) -> float | None:
    if week.modelled is None:
        return None
    value: float = getattr(week.modelled.kwh, end)
    return value / max(1, week.modelled_days)


def _energy_tick(speech: Speech, value: float, decimals: int) -> str:
    return quantity(speech, value, Unit.KILOWATT_HOUR, decimals)


class _Energy:
    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def __call__(self, value: float) -> str:
        return quantity(self._speech, value, Unit.KILOWATT_HOUR, _DECIMALS)


class _Cost:
    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def __call__(self, value: float) -> str:
        return money(self._speech, round(value * self._speech.currency.minor_per_unit))
