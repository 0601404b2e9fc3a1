"""Strip readings are bands, and a strip does not show all: what is known, and what was assumed."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.water.balance import balance
from tubcare.water.reading import FIELD_LIMITS, WaterTest

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

# A soft fill water, for want of any knowledge. Own choice, said to the person.
_ASSUMED_CALCIUM_MG_L = 80.0
# The value behind a pad that reads "none": half its first step.
_EDGE_SHARE = 0.5


class Source(StrEnum):
    """Where an assumed value comes from."""

    LAST_TEST = "last_test"
    FILL_WATER = "fill_water"
    CARRIED = "carried"
    TYPICAL = "typical"
    BAND = "band"
    """The value in the band of a colour that is nearest to the aim."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The values that one colour of a pad stands for, ends included. [unit of the quantity]."""

    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse a band out of order."""
        if not -math.inf < self.low <= self.high < math.inf:
            raise InputError("band", "low must not exceed high, and both must be numbers")

    @property
    def middle(self) -> float:
        """Middle of the band."""
        return 0.5 * (self.low + self.high)

    def nearest(self, aim: float) -> float:
        """Return the value of the band nearest to an aim: dosing for it never overshoots."""
        return min(max(aim, self.low), self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A value that the strip did not show."""

    field: str
    value: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class StripTest:
    """A strip as tests.

    Attributes
    ----------
    middle
        At the middle of every band, for showing.
    mildest
        At the value of every band nearest to its aim: dose for this one, then test again.
    assumed
        What was taken from elsewhere.
    saturation_low, saturation_high
        Range of the saturation index over the corners of the bands. [-]
    """

    middle: WaterTest
    mildest: WaterTest
    assumed: tuple[Assumption, ...]
    saturation_low: float
    saturation_high: float


def band_of(steps: Sequence[float], index: int) -> Band:
    """Return the band of one colour: half-way to its neighbours, ends cut at the outer colours.

    Parameters
    ----------
    steps
        Values printed beside the colours, rising.
    index
        Which colour matched, counted from 0. [-], any of them

    Raises
    ------
    InputError
        If the steps do not rise or the index is not one of them.
    """
    if list(steps) != sorted(set(steps)) or len(steps) < 2:
        raise InputError("steps", "must rise and hold two colours at least")
    if not 0 <= index < len(steps):
        raise InputError("index", "is not one of the colours")
    value = steps[index]
    below = steps[index - 1] if index > 0 else None
    above = steps[index + 1] if index + 1 < len(steps) else None
    low = value if below is None else value - _EDGE_SHARE * (value - below)
    high = value if above is None else value + _EDGE_SHARE * (above - value)
    return Band(low=low, high=high)


def strip_test(
    bands: Mapping[str, Band],
    *,
    water_c: float,
    aims: Mapping[str, float],
    last: WaterTest | None = None,
    fill: WaterTest | None = None,
) -> StripTest:
    """Return a strip as tests; pH and alkalinity are the least a strip must show.

    Parameters
    ----------
    bands
        By field name of `WaterTest`.
    water_c
        [°C], 0..35
    aims
        Aims by field name, for the mildest reading.
    last, fill
        The last full test and the fill water, from which the rest is assumed in this order.

    Raises
    ------
    InputError
        If pH or alkalinity is missing, or a field is none of a test's.
    """
    for needed in ("ph", "alkalinity_mg_l"):
        if needed not in bands:
            raise InputError(needed, "a strip without it cannot be balanced")
    unknown = set(bands) - set(FIELD_LIMITS)
    if unknown:
        raise InputError(min(unknown), "is not a field of a test")
    assumed = tuple(_assumptions(bands, last, fill))
    base = WaterTest(
        water_c=water_c,
        ph=bands["ph"].middle,
        alkalinity_mg_l=bands["alkalinity_mg_l"].middle,
        calcium_mg_l=_ASSUMED_CALCIUM_MG_L,
    )
    base = _with(base, {item.field: item.value for item in assumed})
    middle = _with(base, {name: band.middle for name, band in bands.items()})
    nearest = {n: b.nearest(aims[n]) if n in aims else b.middle for n, b in bands.items()}
    low, high = _saturation(base, middle, bands)
    return StripTest(
        middle=middle,
        mildest=_with(base, nearest),
        assumed=assumed,
        saturation_low=low,
        saturation_high=high,
    )


def _assumptions(
    bands: Mapping[str, Band], last: WaterTest | None, fill: WaterTest | None
) -> list[Assumption]:
    """Return what has to be assumed: calcium always, salts and cyanurate where once known."""
    found = []
    for field in ("calcium_mg_l", "tds_mg_l", "chloride_mg_l", "cyanuric_acid_mg_l"):
        if field in bands:
            continue
        for test, source in ((last, Source.LAST_TEST), (fill, Source.FILL_WATER)):
            value: float | None = None if test is None else getattr(test, field)
            if value is not None:
                found.append(Assumption(field=field, value=value, source=source))
                break
        else:
            if field == "calcium_mg_l":
                found.append(
                    Assumption(field=field, value=_ASSUMED_CALCIUM_MG_L, source=Source.TYPICAL)
                )
    return found


def _saturation(
    base: WaterTest, middle: WaterTest, bands: Mapping[str, Band]
) -> tuple[float, float]:
    """Return the range of the index over corners and middles of pH, alkalinity and calcium.

    The middles count where a corner cannot be a water, as one with hardly any alkalinity.
    """
    names = [n for n in ("ph", "alkalinity_mg_l", "calcium_mg_l") if n in bands]
    corners = product(*((bands[n].low, bands[n].middle, bands[n].high) for n in names))
    found = [balance(middle).saturation_index] if middle.calcium_mg_l else []
    for corner in corners:
        values = {name: band.middle for name, band in bands.items()}
        test = _with(base, values | dict(zip(names, corner, strict=True)))
        try:
            found.append(balance(test).saturation_index)
        except InputError:
            # A corner that cannot be a water does not widen the range.
            continue
    return min(found, default=float("-inf")), max(found, default=float("-inf"))


def _with(test: WaterTest, values: Mapping[str, float]) -> WaterTest:
    """Return the test with some fields replaced."""
    return replace(test, **values)
