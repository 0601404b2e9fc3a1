"""Learns from the plug meter how a tub differs from its description.

Three factors are fitted, on leak, share of Carnot and pump power, by least squares on the energy
between readings, starting from the description. A meter at one set point tells only leak over COP;
a drift test adds the leak and makes the two separable.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.calibration_result import Calibration, Help, Identified, Refusal
from tubcare.energy.evidence import span_ends, summed_over, temperature_spread_k
from tubcare.energy.holding import held_power
from tubcare.energy.uncertainty import Factors, Spread

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from tubcare.energy.evidence import Evidence, MeterSpan
    from tubcare.energy.tub import Tub

    Values = NDArray[np.float64]

LEAST_DAYS = 7.0
LEAST_SPREAD_K = 5.0
# Standard deviations of the logarithms of the factors before the fit: wide on purpose, so that the
# description only decides where the readings cannot.
_PRIOR_SD = np.array([0.7, 0.25, 0.5])
# Leak and COP count as told apart when the data alone know the leak this well. [-]
_SEPARATE_SD = 0.25
_SEPARATE_CORRELATION = 0.98
_RATIO_SD = 0.25
_ROUNDS = 25
_STEP = 1e-3
# Least relative noise of a day: a thermostat cycle more or less.
_LEAST_NOISE = 0.01
_HUBER = 2.0
_NINE_OF_TEN = 1.645
# What small machines reach of Carnot, widely taken: 0.25 measured, 0.7 at the best. [-]
_CARNOT_SHARES = (0.2, 0.7)
_DOUBTFUL_NOISE = 0.05
_MORE_NOISE = 2.0


def calibrate(tub: Tub, evidence: Evidence) -> Calibration | Refusal:
    """Return what the readings tell about `tub`, or why they tell nothing.

    Parameters
    ----------
    tub
        As described; its set point was held meanwhile. Leak in [W K⁻¹], 0..500
    evidence
        Readings [kWh], weather, and a drift test if there is one.

    Raises
    ------
    InputError
        If a span lies outside the hours, or the weather has gaps.

    Notes
    -----
    Gauss-Newton on the logarithms with wide priors and Huber weights; covariance of the
    linearised problem. Refused below 7 days of readings or 5 K of spread between them, and when
    the drift test contradicts the readings.

    References
    ----------
    Drift test and separability: own derivation. Weights: P. J. Huber, Robust Statistics, 1981.
    """
    spans = [span for span in evidence.spans if span.undisturbed]
    ends = span_ends(evidence.hours, spans)
    days = sum(span.days for span in spans)
    spread_k = temperature_spread_k(evidence.weather, ends)
    lacking = _lacking(spans, days, spread_k)
    if lacking:
        return Refusal(days=days, temperature_spread_k=spread_k, would_help=lacking)
    fit = _Fit(tub, evidence, spans, ends)
    found = fit.calibration()
    if isinstance(found, Calibration) and _drift_contradicts(fit, found, spans):
        again = (Help.DRIFT_TEST_AGAIN,)
        return Refusal(days=days, temperature_spread_k=spread_k, would_help=again)
    return found


def _drift_contradicts(fit: _Fit, found: Calibration, spans: Sequence[MeterSpan]) -> bool:
    """Say whether a drift test cannot be of the tub whose meter was read.

    It cannot if together they take a compressor that there is none of, or if the readings scatter
    twice as far about the fit as they do without the test.
    """
    if fit.evidence.drift is None:
        return False
    share = fit.tub.chiller.carnot_share * found.factors.carnot
    wide = math.exp(_NINE_OF_TEN * math.sqrt(found.spread.covariance[1][1]))
    if share * wide < _CARNOT_SHARES[0] or share / wide > _CARNOT_SHARES[1]:
        return True
    if found.noise_share < _DOUBTFUL_NOISE:
        return False
    alone = _Fit(fit.tub, replace(fit.evidence, drift=None), spans, fit.ends)
    return fit.noise > _MORE_NOISE * alone.noise


def _lacking(spans: Sequence[MeterSpan], days: float, spread_k: float) -> tuple[Help, ...]:
    lacking = []
    if days < LEAST_DAYS:
        lacking.append(Help.MORE_DAYS)
    if len(spans) < 5:
        lacking.append(Help.FINER_READINGS)
    if spread_k < LEAST_SPREAD_K:
        lacking.append(Help.WIDER_TEMPERATURES)
    return tuple(lacking)


class _Fit:
    """One least-squares fit of the three factors."""

    def __init__(
        self, tub: Tub, evidence: Evidence, spans: Sequence[MeterSpan], ends: Values
    ) -> None:
        self.tub = tub
        self.evidence = evidence
        self.ends = ends
        self.measured = np.array([span.kwh for span in spans])
        self.logs = np.zeros(3)
        self.noise = max(0.05 * float(self.measured.mean()), 1e-6)
        self._solve()

    def _model(self, logs: Values) -> Values:
        leak, carnot, pump = (math.exp(float(value)) for value in np.clip(logs, -3.0, 3.0))
        changed = Factors(leak=leak, carnot=carnot, pump=pump).applied(self.tub)
        power = held_power(changed, self.evidence.hours, self.evidence.weather)
        return summed_over(power.drawn_kwh, self.ends)

    def _jacobian(self, at: Values) -> Values:
        columns = [(self._model(self.logs + _STEP * unit) - at) / _STEP for unit in np.eye(3)]
        return np.stack(columns, axis=1)

    def _solve(self) -> None:
        for _ in range(_ROUNDS):
            at = self._model(self.logs)
            rest = self.measured - at
            self.jacobian = self._jacobian(at)
            scaled = np.abs(rest) / self.noise
            self.weights = 1.0 / np.maximum(scaled / _HUBER, 1.0)
            step = np.linalg.solve(self._information(), self._pull(rest))
            # A long step leaves the range in which the line holds; half a unit is a factor 1.6.
            step *= min(1.0, 0.5 / max(float(np.abs(step).max()), 1e-12))
            self.logs = np.clip(self.logs + step, -3.0, 3.0)
            self.noise = self._noise(rest - self.jacobian @ step)
            if float(np.abs(step).max()) < 1e-5:
                break

    def _noise(self, rest: Values) -> float:
        freedom = max(rest.size - 3, 1)
        scatter = math.sqrt(float((self.weights * rest**2).sum()) / freedom)
        return max(scatter, _LEAST_NOISE * float(self.measured.mean()), 1e-6)

    def _data_information(self) -> Values:
        """Return what readings and drift test tell, without the description. Shape (3, 3)."""
        weighted = self.jacobian * self.weights[:, None]
        information: Values = weighted.T @ self.jacobian / self.noise**2
        if self.evidence.drift is not None:
            information[0, 0] += 1.0 / self.evidence.drift.log_sd**2
        return information

    def _information(self) -> Values:
        information: Values = self._data_information() + np.diag(1.0 / _PRIOR_SD**2)
        return information

    def _pull(self, rest: Values) -> Values:
        pull: Values = self.jacobian.T @ (self.weights * rest) / self.noise**2
        pull = pull - self.logs / _PRIOR_SD**2
        if self.evidence.drift is not None:
            apart = math.log(self.evidence.drift.ua_w_k / self._leak_w_k())
            pull[0] += apart / self.evidence.drift.log_sd**2
        return pull

    def _leak_w_k(self) -> float:
        factor = math.exp(float(np.clip(self.logs[0], -3.0, 3.0)))
        return Factors(leak=factor).applied(self.tub).envelope.ua_w_k()

    def calibration(self) -> Calibration | Refusal:
        """Return what the fit tells."""
        covariance = np.linalg.inv(self._information())
        ratio_axis = np.array([1.0, -1.0, 0.0])
        # A trace of information on the diagonal stands in for what the data do not hold at all.
        from_data = np.linalg.inv(self._data_information() + 1e-6 * np.eye(3))
        # The direction that the data do not hold is not quite leak and COP alike: pump heat tilts
        # it. With the description that tilt is bounded, yet the description alone never suffices.
        ratio_sd = math.sqrt(float(ratio_axis @ covariance @ ratio_axis))
        leak_sd = math.sqrt(float(from_data[0, 0]))
        correlation = float(from_data[0, 1]) / math.sqrt(float(from_data[0, 0] * from_data[1, 1]))
        apart = leak_sd <= _SEPARATE_SD and abs(correlation) <= _SEPARATE_CORRELATION
        if not apart and ratio_sd > _RATIO_SD:
            return Refusal(
                days=float((self.ends[:, 1] - self.ends[:, 0]).sum()) / 24.0,
                temperature_spread_k=temperature_spread_k(self.evidence.weather, self.ends),
                would_help=(Help.MORE_DAYS, Help.WIDER_TEMPERATURES, Help.DRIFT_TEST),
            )
        leak, carnot, pump = (math.exp(float(value)) for value in self.logs)
        factors = Factors(leak=leak, carnot=carnot, pump=pump)
        tub = factors.applied(self.tub)
        cop = tub.chiller.cop(
            water_c=tub.thermostat.set_point_c, air_c=float(self.evidence.weather.air_c.mean())
        )
        ratio = tub.envelope.ua_w_k() / float(cop)
        rows = [tuple(float(value) for value in row) for row in covariance]
        return Calibration(
            tub=tub,
            factors=factors,
            spread=Spread(covariance=tuple((a, b, c) for a, b, c in rows)),
            identified=Identified.SEPARATE if apart else Identified.RATIO_ONLY,
            leak_w_k=tub.envelope.ua_w_k(),
            leak_over_cop_w_k=ratio,
            leak_over_cop_error_w_k=ratio * math.sqrt(float(ratio_axis @ covariance @ ratio_axis)),
            correlation=correlation,
            noise_share=self.noise / float(self.measured.mean()),
            would_help=() if apart else (Help.DRIFT_TEST,),
        )
