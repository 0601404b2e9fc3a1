"""Refuses numbers that lie outside the range in which a formula holds."""

from __future__ import annotations

from tubcare.errors import OutOfRangeError


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
