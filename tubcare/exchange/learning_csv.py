"""What was learned from the meter, and the weeks it was checked on, as a table."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.energy.calibration_result import Calibration
from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.services.power_learning import Learning

_NINE_OF_TEN = 1.645


def learning_csv(found: Learning) -> str:
    """Return factors against the description with the range of nine cases in ten, then the weeks.

    Energy in kWh, leaks in W/K, water in °C, a drift test's times in h; numbers have a point.
    """
    return table_text(_rows(found))


def _rows(found: Learning) -> Iterator[list[str]]:
    yield ["what", "first", "value", "low", "high", "metered"]
    for name, count in (
        ("spans between readings", found.spans),
        ("spans disturbed", found.disturbed),
        ("spans without weather", found.without_weather),
    ):
        yield [name, "", str(count), "", "", ""]
    yield ["model goes by", "", found.goes_by.value, "", "", ""]
    if isinstance(found.found, Calibration):
        yield from _learned(found.found)
    if found.drift is not None:
        leak, error = found.drift.ua_w_k, _NINE_OF_TEN * found.drift.error_w_k
        yield ["drift test leak", "", *_three(leak, leak - error, leak + error), ""]
    if found.drift_test is not None:
        yield ["drift test air", "", f"{found.drift_test.air_c:.2f}", "", "", ""]
        for hours, water_c in found.drift_test.readings:
            yield ["drift test water", f"{hours:.2f}", f"{water_c:.2f}", "", "", ""]
    for week in () if found.checked is None else found.checked.weeks:
        figures = _three(week.foretold_kwh, week.low_kwh, week.high_kwh)
        first = week.first.first.date().isoformat()
        yield ["held-out week", first, *figures, f"{week.metered_kwh:.3f}"]


def _learned(found: Calibration) -> Iterator[list[str]]:
    yield ["identified", "", found.identified.value, "", "", ""]
    ratio, error = found.leak_over_cop_w_k, _NINE_OF_TEN * found.leak_over_cop_error_w_k
    yield ["leak over efficiency", "", *_three(ratio, ratio - error, ratio + error), ""]
    for place, (name, value) in enumerate(
        (
            ("leak factor", found.factors.leak),
            ("efficiency factor", found.factors.carnot),
            ("pump factor", found.factors.pump),
        )
    ):
        variance = max(found.spread.covariance[place][place], 0.0)
        spread = math.exp(_NINE_OF_TEN * math.sqrt(variance))
        yield [name, "", *_three(value, value / spread, value * spread), ""]
    yield ["scatter of the readings", "", f"{found.noise_share:.4f}", "", "", ""]


def _three(value: float, low: float, high: float) -> tuple[str, str, str]:
    return (f"{value:.3f}", f"{low:.3f}", f"{high:.3f}")
