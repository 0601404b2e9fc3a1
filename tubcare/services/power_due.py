"""Looks whether power has to be estimated, without loading what estimates it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import StoreError
from tubcare.services.power_gaps import tubs_to_estimate

if TYPE_CHECKING:
    from tubcare.services.desk import Desk


def fill_if_due(desk: Desk) -> int:
    """Estimate the power of days that no reading covers; return how many days were added.

    A logbook whose days are all covered costs a few small reads. One that cannot be written just
    now is left as it is: the next look fills it.
    """
    if not tubs_to_estimate(desk):
        return 0
    # Brings numpy, which takes a fifth of a second.
    from tubcare.services.power_fill import fill_estimates  # noqa: PLC0415

    try:
        return fill_estimates(desk)
    except StoreError:
        return 0
