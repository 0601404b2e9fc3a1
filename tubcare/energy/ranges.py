"""Refuses numbers that lie outside the range in which a formula holds."""

from __future__ import annotations

from tubcare.errors import InputError, OutOfRangeError


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


def require_known(name: str, value: float | None, reason: str) -> float:
    """Return `value` in its own unit, or refuse with `reason` when it is not known.

    Parameters
    ----------
    name
        Of the value, for the message.
    value
        In its own unit, any, or None.
    reason
        Of the refusal, in plain words.

    Raises
    ------
    InputError
        When the value is None.

    References
    ----------
    Own definition.
    """
    if value is None:
        raise InputError(name, reason)
    return value
