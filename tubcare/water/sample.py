"""The pH of the tub from a sample that was read at another temperature."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.water.balance import totals_of
from tubcare.water.equilibria import check_temperature
from tubcare.water.equilibrium import solve_ph

if TYPE_CHECKING:
    from tubcare.water.reading import WaterTest


def at_tub_temperature(test: WaterTest, *, sample_c: float) -> WaterTest:
    """Return the test with the pH that the tub itself has.

    Parameters
    ----------
    test
        As read; its `water_c` is the tub, its `ph` belongs to `sample_c`.
    sample_c
        Temperature at which the pH was read, by a meter that corrects only its own electrode.
        [°C], 0..35

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside its range.

    References
    ----------
    Own derivation: warming a closed sample keeps alkalinity and carbon and moves the equilibria.
    A cold tub read at room temperature comes out 0.1-0.2 low.
    """
    check_temperature("sample_c", sample_c)
    if sample_c == test.water_c:
        return test
    totals = totals_of(replace(test, water_c=sample_c))
    return replace(test, ph=solve_ph(totals, water_c=test.water_c))
