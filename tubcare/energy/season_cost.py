"""What a season costs, for one scenario after the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.power import run_power
from tubcare.energy.uncertainty import steps

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.energy_price import EnergyPrice
    from tubcare.energy.hours import HourRange
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Spread
    from tubcare.energy.weather import Weather
    from tubcare.energy.what_if import Scenario

    Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCost:
    """Energy [kWh], compressor hours [h] and cost [minor units] of a season.

    `moved_minor` is the cost after each of the steps of what is not known, none without them.
    `missing_hours` have no price of their own yet and are counted at the usual one.
    """

    kwh: float
    run_h: float
    cost_minor: float
    cannot_hold: bool
    missing_hours: int
    moved_minor: tuple[float, ...]


class SeasonCosts:
    """Computes seasons; keeps hours, weather and prices between scenarios that share them."""

    def __init__(self, spread: Spread | None) -> None:
        self._steps = () if spread is None else steps(spread)
        self._kept: list[tuple[Scenario, HourRange, Weather]] = []
        self._prices: list[tuple[EnergyPrice, HourRange, Hours, int]] = []

    def of(self, scenario: Scenario) -> SeasonCost:
        """Return the season of a scenario."""
        hours, weather = self._weather(scenario)
        prices, missing = self._prices_of(scenario, hours)
        drawn, run_h, cannot_hold = self._drawn(scenario.tub, hours, weather)
        tubs = [step.applied(scenario.tub) for step in self._steps]
        moved = [self._drawn(tub, hours, weather)[0] for tub in tubs]
        return SeasonCost(
            kwh=float(drawn.sum()),
            run_h=run_h,
            cost_minor=float(drawn @ prices),
            cannot_hold=cannot_hold,
            missing_hours=missing,
            moved_minor=tuple(float(kwh @ prices) for kwh in moved),
        )

    def _drawn(self, tub: Tub, hours: HourRange, weather: Weather) -> tuple[Hours, float, bool]:
        held = held_power(tub, hours, weather)
        drawn, run_h = held.drawn_kwh, held.run_h
        # Without switchings the season is summed at once; a unit at its limit has to be stepped.
        cannot_hold = bool(run_h.size) and float(run_h.max()) > 1.0
        if cannot_hold:
            run = run_power(tub, hours, weather)
            drawn, run_h = run.total_kwh, run.run.run_h
        return drawn, float(run_h.sum()), cannot_hold

    def _prices_of(self, scenario: Scenario, hours: HourRange) -> tuple[Hours, int]:
        """Return what a kWh costs in each hour, tax included, and how many have no price yet."""
        tariff = scenario.tariff
        for energy, kept, prices, missing in self._prices:
            if energy is tariff.energy and kept is hours:
                return prices * float(tariff.with_tax), missing
        missing = int(np.isnan(tariff.energy.minor_per_kwh(hours)).sum())
        prices = tariff.energy.usual_minor_per_kwh(hours)
        self._prices.append((tariff.energy, hours, prices, missing))
        return prices * float(tariff.with_tax), missing

    def _weather(self, scenario: Scenario) -> tuple[HourRange, Weather]:
        for kept, hours, weather in self._kept:
            same_days = (kept.first, kept.last) == (scenario.first, scenario.last)
            if same_days and kept.zone == scenario.zone and kept.year is scenario.year:
                return hours, weather
        hours = hours_of_days(scenario.first, scenario.last, scenario.zone)
        weather = scenario.year.for_hours(hours)
        self._kept.append((scenario, hours, weather))
        return hours, weather
