"""How well a calibration foretells weeks that it has not seen."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.calibration import calibrate
from tubcare.energy.calibration_result import Calibration, Help, Refusal
from tubcare.energy.evidence import Evidence, MeterSpan, spread_between_k
from tubcare.energy.holding import held_power
from tubcare.energy.ranges import require
from tubcare.energy.uncertainty import estimate

if TYPE_CHECKING:
    from tubcare.energy.hours import HourRange
    from tubcare.energy.tub import Tub

_WEEK_S = 7 * 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekCheck:
    """A week held out: metered and foretold energy [kWh], and the range of the latter."""

    first: MeterSpan
    metered_kwh: float
    foretold_kwh: float
    low_kwh: float
    high_kwh: float

    @property
    def within(self) -> bool:
        """Whether the meter lies within the range."""
        return self.low_kwh <= self.metered_kwh <= self.high_kwh


@dataclass(frozen=True, slots=True, kw_only=True)
class BackTest:
    """Held-out weeks, with bias and scatter as shares of the mean.

    ASHRAE Guideline 14 names them net bias and CV(RMSE).
    """

    weeks: tuple[WeekCheck, ...]
    bias_share: float
    scatter_share: float
    within_share: float


def back_test(tub: Tub, evidence: Evidence, *, every: int = 4) -> BackTest | Refusal:
    """Fit without every n-th week, then foretell those weeks.

    Parameters
    ----------
    tub, evidence
        As for `calibrate`.
    every
        Which weeks to hold out. [-], 2..20

    Raises
    ------
    InputError
        If a span lies outside the hours, or the weather has gaps.
    OutOfRangeError
        If `every` lies outside its range.

    References
    ----------
    ASHRAE Guideline 14: net bias and CV(RMSE) of a model against a meter. Held-out weeks: own
    choice.
    """
    require("every", every, 2, 20)
    weeks: dict[int, list[MeterSpan]] = {}
    for span in evidence.spans:
        if span.undisturbed:
            weeks.setdefault(_week(evidence.hours, span), []).append(span)
    held_out = {number: spans for number, spans in weeks.items() if number % every == every - 1}
    seen = tuple(s for number, spans in weeks.items() if number not in held_out for s in spans)
    learned = calibrate(tub, replace(evidence, spans=seen))
    if isinstance(learned, Refusal):
        return learned
    if not held_out:
        return Refusal(
            days=sum(span.days for span in seen),
            temperature_spread_k=spread_between_k(evidence, seen),
            would_help=(Help.MORE_DAYS,),
        )
    return _checked(learned, evidence, list(held_out.values()))


def _week(hours: HourRange, span: MeterSpan) -> int:
    return int((span.first - hours.start).total_seconds() // _WEEK_S)


def _checked(
    learned: Calibration, evidence: Evidence, held_out: list[list[MeterSpan]]
) -> BackTest:
    start = evidence.hours.start.timestamp()

    def foretold(tub: Tub) -> tuple[float, ...]:
        drawn = held_power(tub, evidence.hours, evidence.weather).drawn_kwh
        running = np.concatenate(([0.0], np.cumsum(drawn)))
        marks = np.arange(running.size)
        return tuple(
            sum(
                float(np.interp((s.stop.timestamp() - start) / 3600, marks, running))
                - float(np.interp((s.first.timestamp() - start) / 3600, marks, running))
                for s in spans
            )
            for spans in held_out
        )

    checks = []
    for spans, guess in zip(
        held_out, estimate(learned.tub, learned.spread, foretold), strict=True
    ):
        # The range of the model, widened by the scatter of the days in the week.
        scatter = 1.645 * learned.noise_share * guess.value / math.sqrt(len(spans))
        checks.append(
            WeekCheck(
                first=spans[0],
                metered_kwh=sum(span.kwh for span in spans),
                foretold_kwh=guess.value,
                low_kwh=guess.value - math.hypot(guess.value - guess.low, scatter),
                high_kwh=guess.value + math.hypot(guess.high - guess.value, scatter),
            )
        )
    metered = np.array([check.metered_kwh for check in checks])
    apart = np.array([check.foretold_kwh for check in checks]) - metered
    return BackTest(
        weeks=tuple(checks),
        bias_share=float(apart.sum() / metered.sum()),
        scatter_share=float(np.sqrt((apart**2).mean()) / metered.mean()),
        within_share=sum(check.within for check in checks) / len(checks),
    )
