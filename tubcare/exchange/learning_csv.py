"""What was learned from the meter, and the weeks it was checked on, as a table."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.energy.calibration_result import Calibration
from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from tubcare.services.power_learning import Learning

_NINE_OF_TEN = 1.645


def learning_csv(found: Learning) -> str:
    """Return factors against the description with the range of nine cases in ten, then the weeks.

    Energy in kWh, leaks in W/K; numbers have a point.
    """
    written: list[list[object]] = []
    written.append(["what", "first", "value", "low", "high", "metered"])
    learned = found.found
    if isinstance(learned, Calibration):
        ratio, error = learned.leak_over_cop_w_k, _NINE_OF_TEN * learned.leak_over_cop_error_w_k
        written.append(["leak over efficiency", "", *_three(ratio, ratio - error, ratio + error)])
        factors = (
            ("leak factor", learned.factors.leak),
            ("efficiency factor", learned.factors.carnot),
            ("pump factor", learned.factors.pump),
        )
        for place, (name, value) in enumerate(factors):
            variance = max(learned.spread.covariance[place][place], 0.0)
            spread = math.exp(_NINE_OF_TEN * math.sqrt(variance))
            written.append([name, "", *_three(value, value / spread, value * spread)])
    if found.drift is not None:
        leak, error = found.drift.ua_w_k, _NINE_OF_TEN * found.drift.error_w_k
        written.append(["drift test leak", "", *_three(leak, leak - error, leak + error)])
    for week in () if found.checked is None else found.checked.weeks:
        figures = _three(week.foretold_kwh, week.low_kwh, week.high_kwh)
        first = week.first.first.date().isoformat()
        written.append(["held-out week", first, *figures, f"{week.metered_kwh:.3f}"])
    return table_text(written)


def _three(value: float, low: float, high: float) -> tuple[str, str, str]:
    return (f"{value:.3f}", f"{low:.3f}", f"{high:.3f}")
