"""A whole test from what was measured at different times, and what had to be assumed for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water.balance import balance
from tubcare.water.judged import FAST_DAYS, FIELD_OF_READING, SLOW_DAYS, Sighting
from tubcare.water.limits import check
from tubcare.water.saturation import precipitation_potential
from tubcare.water.strips import Assumption, Band, Source, strip_test

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from tubcare.water.reading import WaterTest

_SLOW_FIELDS: Final = frozenset(
    {
        "alkalinity_mg_l",
        "calcium_mg_l",
        "cyanuric_acid_mg_l",
        "boron_mg_l",
        "chloride_mg_l",
        "tds_mg_l",
    }
)
# Alkalinity of a soft tap water, for want of any knowledge. Own choice, said to the person.
_ASSUMED_ALKALINITY_MG_L: Final = 60.0
# A reading of one evening is entered in one go; values within this belong together.
TOGETHER: Final = timedelta(minutes=30)
_NOTHING: Final[Mapping[str, float]] = MappingProxyType({})
_SANITISER_HOLDS: Final = timedelta(days=1)
# Between -0.3 and +0.5 nothing much falls or dissolves (ANSI/APSP/ICC-11, from memory).
_SATURATION_LOW: Final = -0.3
_SATURATION_HIGH: Final = 0.5


class Scaling(StrEnum):
    """What the saturation index means."""

    DISSOLVES = "dissolves"
    BALANCED = "balanced"
    DEPOSITS = "deposits"


@dataclass(frozen=True, slots=True, kw_only=True)
class Completed:
    """A test with all that an equilibrium needs.

    Attributes
    ----------
    at
        Instant of the newest value that it stands on.
    known
        Fields that were read, now or lately enough; a sanitiser that is not among them must not be
        dosed for.
    middle
        At the middle of every band: for showing.
    mildest
        At the value of every band nearest to its aim: dose for this one.
    assumed
        What was taken from elsewhere, and from where.
    saturation_low, saturation_high
        The index over the corners of the bands. [-]
    """

    at: datetime
    known: frozenset[str]
    middle: WaterTest
    mildest: WaterTest
    assumed: tuple[Assumption, ...]
    saturation_low: float
    saturation_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexNow:
    """The saturation index with its range over what was read, and what it means for scale.

    `scale_mg_l` is the lime that falls out, at most, of water that deposits; else 0. [mg/L]
    """

    value: float
    low: float
    high: float
    scaling: Scaling
    scale_mg_l: float = 0.0


def completed(
    sightings: Mapping[str, Sighting],
    *,
    water_c: float,
    aims: Mapping[str, float],
    fill: WaterTest | None,
    carried: Mapping[str, float] = _NOTHING,
) -> Completed | None:
    """Return the newest values as one test; None without a pH of the last seven days.

    Values read together count as measured. What moves only by dosing and fresh water is taken from
    an earlier reading of the last 60 days, moved by what is on record since, a sanitiser from one
    of the last day; else from the fill water, else assumed; each is said.

    Parameters
    ----------
    sightings
        The newest value of each quantity, by its name in the logbook.
    water_c
        Temperature of the water. [°C], 0..35
    aims
        Aims by field of a test, for the mildest reading.
    fill
        Stored test of the fill water.
    carried
        By field of a test, what a value has come to by what went in since it was read.

    Raises
    ------
    OutOfRangeError
        If the temperature or a value lies outside its range.
    """
    check("water_c", water_c, 0.0, 35.0)
    seen = {f: sightings[n] for n, f in FIELD_OF_READING.items() if n in sightings}
    if "ph" not in seen:
        return None
    at = max(each.at for each in seen.values())
    used = {f: each for f, each in seen.items() if at - each.at <= _holds(f)}
    if "ph" not in used:
        return None
    earlier = {f: each.value for f, each in used.items() if at - each.at > TOGETHER}
    moved = {f: value for f, value in carried.items() if f not in used or f in earlier}
    bands = {f: each.band or _exactly(each.value) for f, each in used.items()}
    bands |= {f: _exactly(value) for f, value in moved.items()}
    assumed = [
        *_taken(moved, Source.CARRIED),
        *_taken({f: v for f, v in earlier.items() if f not in moved}, Source.LAST_TEST),
    ]
    if "alkalinity_mg_l" not in bands:
        assumed.append(_alkalinity(fill))
        bands["alkalinity_mg_l"] = _exactly(assumed[-1].value)
    strip = strip_test(bands, water_c=water_c, aims=aims, fill=fill)
    return Completed(
        at=at,
        known=frozenset(used),
        middle=strip.middle,
        mildest=strip.mildest,
        assumed=(*assumed, *strip.assumed),
        saturation_low=strip.saturation_low,
        saturation_high=strip.saturation_high,
    )


def _exactly(value: float) -> Band:
    return Band(low=value, high=value)


def _taken(values: Mapping[str, float], source: Source) -> list[Assumption]:
    return [Assumption(field=field, value=v, source=source) for field, v in values.items()]


def _holds(field: str) -> timedelta:
    """Return for how long an earlier value of a field may stand in."""
    if field in _SLOW_FIELDS:
        return timedelta(days=SLOW_DAYS)
    return timedelta(days=FAST_DAYS) if field == "ph" else _SANITISER_HOLDS


def index_now(found: Completed) -> IndexNow:
    """Return the saturation index at the tub's temperature and what it means for scale."""
    state = balance(found.middle)
    value = state.saturation_index
    deposits = scaling_of(value) is Scaling.DEPOSITS
    return IndexNow(
        scale_mg_l=precipitation_potential(state.totals, water_c=state.water_c)
        if deposits
        else 0.0,
        value=value,
        low=min(value, found.saturation_low),
        high=max(value, found.saturation_high),
        scaling=scaling_of(value),
    )


def scaling_of(index: float) -> Scaling:
    """Return what a saturation `index` means for scale; databases differ by 0.15. [-], any."""
    if index < _SATURATION_LOW:
        return Scaling.DISSOLVES
    return Scaling.DEPOSITS if index > _SATURATION_HIGH else Scaling.BALANCED


def _alkalinity(fill: WaterTest | None) -> Assumption:
    if fill is not None:
        value, source = fill.alkalinity_mg_l, Source.FILL_WATER
    else:
        value, source = _ASSUMED_ALKALINITY_MG_L, Source.TYPICAL
    return Assumption(field="alkalinity_mg_l", value=value, source=source)
