"""What a calibration rests on: readings of the plug meter, the weather, a drift test."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from numpy.typing import NDArray

    from tubcare.energy.drift_test import DriftResult
    from tubcare.energy.hours import HourRange
    from tubcare.energy.weather import Weather

    Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterSpan:
    """Energy between two readings of the plug meter.

    Parameters
    ----------
    first, stop
        Aware instants of the readings.
    kwh
        Energy between them. [kWh], at least 0
    undisturbed
        False when the tub was filled, left open or switched off meanwhile: then it is left out.
    """

    first: datetime
    stop: datetime
    kwh: float
    undisturbed: bool = True

    def __post_init__(self) -> None:
        if self.first.tzinfo is None or self.stop.tzinfo is None:
            raise InputError("first", "readings need a time zone")
        if self.stop <= self.first:
            raise InputError("stop", "must lie after the first reading")
        if not (math.isfinite(self.kwh) and self.kwh >= 0.0):
            raise InputError("kwh", f"{self.kwh} cannot be the energy between two readings")

    @property
    def days(self) -> float:
        """How long it lasts. [d]."""
        return (self.stop - self.first).total_seconds() / 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What a calibration rests on: the season's hours, their weather, readings, a drift test."""

    hours: HourRange
    weather: Weather
    spans: tuple[MeterSpan, ...]
    drift: DriftResult | None = None


def spread_between_k(evidence: Evidence, spans: Sequence[MeterSpan]) -> float:
    """Return how far the mean air temperatures of spans lie apart. [K].

    Parameters
    ----------
    evidence
        With the weather. [°C], -60..60
    spans
        Readings within its hours.

    Raises
    ------
    InputError
        If a span lies outside the hours.

    References
    ----------
    Own definition: greatest less smallest mean.
    """
    return temperature_spread_k(evidence.weather, span_ends(evidence.hours, spans))


def span_ends(hours: HourRange, spans: Sequence[MeterSpan]) -> Values:
    """Return where each span begins and stops, in hours since the first. [h]; (spans, 2).

    Parameters
    ----------
    hours
        Which hours.
    spans
        Readings within them.

    Raises
    ------
    InputError
        If a span lies outside the hours.

    References
    ----------
    Plain arithmetic.
    """
    start = hours.start.timestamp()
    ends = np.array(
        [
            [(s.first.timestamp() - start) / 3600, (s.stop.timestamp() - start) / 3600]
            for s in spans
        ]
    ).reshape(-1, 2)
    if ends.size and not (float(ends.min()) >= 0.0 and float(ends.max()) <= hours.count):
        raise InputError("spans", "a reading lies outside the hours with weather")
    return ends


def summed_over(values: Values, ends: Values) -> Values:
    """Return the sum of hourly values over each span, in their own unit; shape (spans,).

    Raises nothing; an end outside the hours is taken as the nearest.

    Parameters
    ----------
    values
        One for each hour; float64 (hours,). [kWh] or any other, finite
    ends
        Begin and stop of each span, in hours since the first; float64 (spans, 2). [h], 0..hours

    References
    ----------
    Own definition: an hour in part counts by its share.
    """
    running = np.concatenate(([0.0], np.cumsum(values)))
    marks = np.arange(running.size, dtype=np.float64)
    sums: Values = np.interp(ends[:, 1], marks, running) - np.interp(ends[:, 0], marks, running)
    return sums


def temperature_spread_k(weather: Weather, ends: Values) -> float:
    """Return how far the mean air temperatures of spans lie apart. [K].

    Raises nothing.

    Parameters
    ----------
    weather
        Of the hours. [°C], -60..60
    ends
        As of `span_ends`. [h], 0..hours

    References
    ----------
    Own definition: greatest less smallest mean.
    """
    if not ends.size:
        return 0.0
    means = summed_over(weather.air_c, ends) / (ends[:, 1] - ends[:, 0])
    return float(np.ptp(means))
