"""A value that is asked about before it is kept; it is never changed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class DoubtKind(StrEnum):
    """Why a value is asked about."""

    UNUSUAL = "unusual"
    JUMP = "jump"
    TOTAL_BELOW_FREE = "total_below_free"


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryDoubt:
    """A value to look at once more; it is kept as written when the person says so.

    `low` and `high` are the usual span, `last` the value before; in mg/L and °C.
    """

    kind: DoubtKind
    name: str
    value: float
    low: float | None = None
    high: float | None = None
    last: float | None = None
