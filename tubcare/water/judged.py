"""One measured value against its range: inside, outside and by how much, or not to be told."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from tubcare.water.ranges import Range
    from tubcare.water.strips import Band

# After so long a value says nothing about today's water [d]: what reacts and drifts, and what only
# dosing and fresh water move. Own choice.
FAST_DAYS: Final = 7.0
SLOW_DAYS: Final = 60.0
_SLOW: Final = frozenset(
    {Quantity.ALKALINITY, Quantity.CALCIUM, Quantity.CYANURIC_ACID, Quantity.CHLORIDE}
)
_DAY_S = 86_400.0


class Standing(StrEnum):
    """Where a value stands against its range."""

    INSIDE = "inside"
    BELOW = "below"
    ABOVE = "above"
    UNKNOWN = "unknown"


class Unknown(StrEnum):
    """Why nothing can be told."""

    NOT_MEASURED = "not_measured"
    TOO_OLD = "too_old"
    BAND_ACROSS = "band_across"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """A value as it was read, at its instant; `band` where a strip was matched to a colour."""

    value: float
    at: datetime
    band: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A quantity against its range.

    Attributes
    ----------
    sighting
        The newest value, None where there is none.
    by
        Distance from the range, 0 inside; of a band its nearest end. [unit of the quantity]
    unknown
        Why the standing is unknown, else None.
    limits
        The range with its document and section.
    edited
        Whether a person changed the range of this tub.
    """

    quantity: Quantity
    sighting: Sighting | None
    standing: Standing
    by: float
    unknown: Unknown | None
    limits: Range
    edited: bool = False


def days_a_value_holds(quantity: Quantity) -> float:
    """Return after how long a value of this quantity says nothing any more [d]."""
    return SLOW_DAYS if quantity in _SLOW else FAST_DAYS


def judge(
    quantity: Quantity,
    sighting: Sighting | None,
    limits: Range,
    *,
    now: datetime,
    edited: bool = False,
) -> Judged:
    """Return a value against its range; a band that reaches across an end tells nothing."""
    unknown: Unknown | None = None
    standing, by = Standing.UNKNOWN, 0.0
    if sighting is None:
        unknown = Unknown.NOT_MEASURED
    elif (now - sighting.at).total_seconds() > days_a_value_holds(quantity) * _DAY_S:
        unknown = Unknown.TOO_OLD
    else:
        low, high = _ends(sighting)
        standing, by = _standing(low, high, limits)
        if standing is Standing.UNKNOWN:
            unknown = Unknown.BAND_ACROSS
    return Judged(
        quantity=quantity,
        sighting=sighting,
        standing=standing,
        by=by,
        unknown=unknown,
        limits=limits,
        edited=edited,
    )


def _ends(sighting: Sighting) -> tuple[float, float]:
    band = sighting.band
    return (sighting.value, sighting.value) if band is None else (band.low, band.high)


def _standing(low: float, high: float, limits: Range) -> tuple[Standing, float]:
    if limits.low is not None and high < limits.low:
        return Standing.BELOW, limits.low - high
    if limits.high is not None and low > limits.high:
        return Standing.ABOVE, low - limits.high
    if limits.contains(low) and limits.contains(high):
        return Standing.INSIDE, 0.0
    return Standing.UNKNOWN, 0.0


# What a reading is called in the logbook, by quantity, and by field of a test.
READING_OF: Final[Mapping[Quantity, str]] = MappingProxyType(
    {
        Quantity.PH: "ph",
        Quantity.ALKALINITY: "alkalinity_mg_l",
        Quantity.CALCIUM: "hardness_mg_l",
        Quantity.FREE_CHLORINE: "free_chlorine_mg_l",
        Quantity.COMBINED_CHLORINE: "combined_chlorine_mg_l",
        Quantity.BROMINE: "bromine_mg_l",
        Quantity.PEROXIDE: "peroxide_mg_l",
        Quantity.CYANURIC_ACID: "cyanurate_mg_l",
        Quantity.CHLORIDE: "chloride_mg_l",
    }
)
FIELD_OF_READING: Final[Mapping[str, str]] = MappingProxyType(
    {
        "ph": "ph",
        "alkalinity_mg_l": "alkalinity_mg_l",
        "hardness_mg_l": "calcium_mg_l",
        "free_chlorine_mg_l": "free_chlorine_mg_l",
        "total_chlorine_mg_l": "total_chlorine_mg_l",
        "bromine_mg_l": "bromine_mg_l",
        "peroxide_mg_l": "peroxide_mg_l",
        "cyanurate_mg_l": "cyanuric_acid_mg_l",
        "boron_mg_l": "boron_mg_l",
        "chloride_mg_l": "chloride_mg_l",
        "tds_mg_l": "tds_mg_l",
    }
)
_SEEN_IN_IT: Final = ("clarity", "colour", "smell", "foam", "ice")
# What tells of the water and not of the tub: it goes with the water when all of it is changed.
OF_THE_WATER: Final = frozenset(
    {*FIELD_OF_READING, READING_OF[Quantity.COMBINED_CHLORINE], *_SEEN_IN_IT}
)
