"""What a season costs, for one scenario after the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.power import run_power
from tubcare.energy.tariff import energy_cost
from tubcare.energy.uncertainty import steps

if TYPE_CHECKING:
    from tubcare.energy.hours import HourRange
    from tubcare.energy.tariff import Cost
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Spread
    from tubcare.energy.weather import Weather
    from tubcare.energy.what_if import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCost:
    """Energy [kWh], compressor hours [h] and cost [minor units] of a season.

    `moved_minor` is the cost after each of the steps of what is not known, none without them.
    """

    kwh: float
    run_h: float
    cost_minor: float
    cannot_hold: bool
    missing_hours: int
    moved_minor: tuple[float, ...]


class SeasonCosts:
    """Computes seasons; keeps hours and weather between scenarios that share them."""

    def __init__(self, spread: Spread | None) -> None:
        self._steps = () if spread is None else steps(spread)
        self._kept: list[tuple[Scenario, HourRange, Weather]] = []

    def of(self, scenario: Scenario) -> SeasonCost:
        """Return the season of a scenario."""
        cost, run_h, cannot_hold = self._cost(scenario, scenario.tub)
        moved = [self._cost(scenario, step.applied(scenario.tub))[0] for step in self._steps]
        return SeasonCost(
            kwh=cost.kwh,
            run_h=run_h,
            cost_minor=cost.energy_minor,
            cannot_hold=cannot_hold,
            missing_hours=cost.missing_hours,
            moved_minor=tuple(each.energy_minor for each in moved),
        )

    def _cost(self, scenario: Scenario, tub: Tub) -> tuple[Cost, float, bool]:
        hours, weather = self._weather(scenario)
        held = held_power(tub, hours, weather)
        drawn, run_h = held.drawn_kwh, held.run_h
        # Without switchings the season is summed at once; a unit at its limit has to be stepped.
        cannot_hold = bool(run_h.size) and float(run_h.max()) > 1.0
        if cannot_hold:
            run = run_power(tub, hours, weather)
            drawn, run_h = run.total_kwh, run.run.run_h
        return energy_cost(scenario.tariff, hours, drawn), float(run_h.sum()), cannot_hold

    def _weather(self, scenario: Scenario) -> tuple[HourRange, Weather]:
        for kept, hours, weather in self._kept:
            same_days = (kept.first, kept.last) == (scenario.first, scenario.last)
            if same_days and kept.zone == scenario.zone and kept.year is scenario.year:
                return hours, weather
        hours = hours_of_days(scenario.first, scenario.last, scenario.zone)
        weather = scenario.year.for_hours(hours)
        self._kept.append((scenario, hours, weather))
        return hours, weather
