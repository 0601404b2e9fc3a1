"""Refuses numbers that lie outside the range in which a formula holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tubcare.errors import OutOfRangeError

if TYPE_CHECKING:
    from numpy.typing import NDArray


def require(name: str, value: float, low: float, high: float) -> None:
    """Refuse `value` unless it lies in the closed range `low`..`high`.

    Parameters
    ----------
    name
        Of the value, for the message.
    value
        In its own unit, any; not a number is refused.
    low, high
        Closed range low..high, in the unit of the value, its own unit.

    Raises
    ------
    OutOfRangeError
        When the value lies outside or is not a number.

    References
    ----------
    Own definition.
    """
    if not low <= value <= high:
        raise OutOfRangeError(name, value, low, high)


def require_all(name: str, values: float | NDArray[np.float64], low: float, high: float) -> None:
    """Refuse `values` unless each lies in the closed range `low`..`high`.

    Parameters
    ----------
    name
        Of the values, for the message.
    values
        One or an array, in their own unit, any; not a number is refused, an empty array is not.
    low, high
        Closed range low..high, in the unit of the values, their own unit.

    Raises
    ------
    OutOfRangeError
        When one lies outside or is not a number.

    References
    ----------
    Own definition.
    """
    if np.size(values):
        require(name, float(np.min(values)), low, high)
        require(name, float(np.max(values)), low, high)
