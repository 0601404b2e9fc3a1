"""Refuses numbers that lie outside the range in which a formula holds."""

from __future__ import annotations

from tubcare.errors import InputError, OutOfRangeError


def require(name: str, value: float, low: float, high: float) -> None:
    """Refuse `value` unless it lies in the closed range `low`..`high`.

    Raises
    ------
    OutOfRangeError
        When the value lies outside or is not a number.
    """
    if not low <= value <= high:
        raise OutOfRangeError(name, value, low, high)


def require_known(name: str, value: float | None, reason: str) -> float:
    """Return `value`, or refuse with `reason` when it is not known.

    Raises
    ------
    InputError
        When the value is None.
    """
    if value is None:
        raise InputError(name, reason)
    return value
