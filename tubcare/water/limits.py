"""The one check that every formula makes of its inputs."""

from __future__ import annotations

from tubcare.errors import OutOfRangeError


def check(name: str, value: float, low: float, high: float) -> None:
    """Raise OutOfRangeError unless `value` lies in low..high (a NaN never does)."""
    if not low <= value <= high:
        raise OutOfRangeError(name, value, low, high)
