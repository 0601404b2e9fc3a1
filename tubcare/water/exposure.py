"""What the water did to the liner since it was last looked at.

Readings are joined by straight lines, but only across gaps short enough to believe; the rest of
the time is unknown, not fine.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError
from tubcare.values import Liner
from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

_DAY_S = 86_400.0
# pH drifts over days; a line across more than this says little. Own choice.
LONGEST_GAP_D = 7.0
# Chloride moves only by dosing and fresh water: a line may bridge a month. Own choice.
LONGEST_CHLORIDE_GAP_D = 30.0
# Exposure that halves the time to the next inspection. Own choice: a week half a unit of pH out,
# or a week half as salty again as the limit.
_HALVING_PH_DAYS = 3.5
_HALVING_RELATIVE_DAYS = 3.5
_SHORTEST_SHARE = 0.25
# Not knowing half the time is itself a reason to look earlier. Own choice.
_UNKNOWN_WEIGHT = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LinerWindow:
    """What a material stands without end.

    pH from `ph_low` to `ph_high` [-]; chloride and free chlorine up to a limit [mg/L], None where
    none is published; `source` names the document.
    """

    ph_low: float
    ph_high: float
    chloride_mg_l: float | None
    free_chlorine_mg_l: float | None
    source: str


LINER_WINDOWS: Final[Mapping[Liner, LinerWindow]] = MappingProxyType(
    {
        Liner.ALUMINIUM: LinerWindow(
            ph_low=6.5,
            ph_high=8.2,
            chloride_mg_l=150.0,
            free_chlorine_mg_l=3.0,
            source="oxide stable at pH 4-8.5, pitting by chloride: SUEZ Water Handbook, Aluminium "
            "(after Pourbaix 1974); narrowed by own judgement",
        ),
        Liner.STAINLESS_STEEL: LinerWindow(
            ph_low=6.8,
            ph_high=8.5,
            chloride_mg_l=150.0,
            free_chlorine_mg_l=2.0,
            source="grade 304, crevices rare below 100-200 mg/L: Nickel Institute 11 003, 11 004; "
            "free chlorine below 2 mg/L (from memory)",
        ),
        Liner.HDPE_PP: LinerWindow(
            ph_low=6.0,
            ph_high=9.0,
            chloride_mg_l=None,
            free_chlorine_mg_l=5.0,
            source="common practice, no source",
        ),
        Liner.ACRYLIC: LinerWindow(
            ph_low=6.8,
            ph_high=8.2,
            chloride_mg_l=None,
            free_chlorine_mg_l=5.0,
            source="free chlorine up to 5 mg/L for long (from memory)",
        ),
        Liner.GRP: LinerWindow(
            ph_low=6.8,
            ph_high=8.2,
            chloride_mg_l=None,
            free_chlorine_mg_l=5.0,
            source="common practice, no source",
        ),
        Liner.PVC: LinerWindow(
            ph_low=6.8,
            ph_high=8.2,
            chloride_mg_l=None,
            free_chlorine_mg_l=5.0,
            source="free chlorine up to 5 mg/L for long (from memory)",
        ),
        Liner.WOOD: LinerWindow(
            ph_low=6.5,
            ph_high=7.8,
            chloride_mg_l=None,
            free_chlorine_mg_l=3.0,
            source="delignified above pH 8 with over 1 mg/L free chlorine: SUEZ Water Handbook, "
            "ch. 29 (cooling-tower wood); limits by own judgement",
        ),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposurePoint:
    """A reading as the liner felt it; None where it was not measured.

    pH 0..14 [-]; chloride and free chlorine, 0..100000. [mg/L]
    """

    at: datetime
    ph: float | None = None
    chloride_mg_l: float | None = None
    free_chlorine_mg_l: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no test reads."""
        for name, high in (("ph", 14.0), ("chloride_mg_l", 1e5), ("free_chlorine_mg_l", 1e5)):
            value: float | None = getattr(self, name)
            if value is not None:
                check(name, value, 0.0, high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One quantity over the span.

    `below` and `above` integrate the distance outside the window over time [unit x days];
    `days_below` and `days_above` are how long; `unknown_days` had no readings near enough.
    """

    days_below: float
    days_above: float
    below: float
    above: float
    known_days: float
    unknown_days: float
    lowest: float | None
    highest: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """Exposure since the last inspection; a quantity without a limit is None."""

    ph: Course
    chloride: Course | None
    free_chlorine: Course | None
    inspection_share: float


def exposure_since(
    points: Sequence[ExposurePoint],
    *,
    window: LinerWindow,
    since: datetime,
    until: datetime,
    longest_gap_d: float = LONGEST_GAP_D,
) -> Exposure:
    """Return what the liner was exposed to between two instants.

    `inspection_share` is the share of the usual interval after which to look again: 1 for water
    always inside, down to a quarter (own judgement, no source). Time of which nothing is known
    counts by half, of pH and, where the liner has a limit for it, of chloride.

    Parameters
    ----------
    longest_gap_d
        Longest gap between two readings that a straight line may bridge; of chloride it is 30
        days at least. [d], 0.1..60

    Raises
    ------
    InputError
        If `until` lies before `since`.
    """
    if until < since:
        raise InputError("until", "lies before the last inspection")
    check("longest_gap_d", longest_gap_d, 0.1, 60.0)
    span = (since, until)

    def course(
        values: list[tuple[datetime, float]], low: float, high: float, gap_d: float = longest_gap_d
    ) -> Course:
        return _course(values, span=span, limits=(low, high), longest_gap_d=gap_d)

    ph = course([(p.at, p.ph) for p in points if p.ph is not None], window.ph_low, window.ph_high)
    chloride = chlorine = None
    if window.chloride_mg_l is not None:
        found = [(p.at, p.chloride_mg_l) for p in points if p.chloride_mg_l is not None]
        gap_d = max(longest_gap_d, LONGEST_CHLORIDE_GAP_D)
        chloride = course(found, 0.0, window.chloride_mg_l, gap_d)
    if window.free_chlorine_mg_l is not None:
        found = [(p.at, p.free_chlorine_mg_l) for p in points if p.free_chlorine_mg_l is not None]
        chlorine = course(found, 0.0, window.free_chlorine_mg_l)
    return Exposure(
        ph=ph,
        chloride=chloride,
        free_chlorine=chlorine,
        inspection_share=_inspection_share(ph, chloride, chlorine, window),
    )


def _inspection_share(
    ph: Course, chloride: Course | None, chlorine: Course | None, window: LinerWindow
) -> float:
    """Return the share of the usual interval left by what happened."""
    load = (ph.below + ph.above) / _HALVING_PH_DAYS
    if chloride is not None and window.chloride_mg_l:
        load += chloride.above / window.chloride_mg_l / _HALVING_RELATIVE_DAYS
    if chlorine is not None and window.free_chlorine_mg_l:
        load += chlorine.above / window.free_chlorine_mg_l / _HALVING_RELATIVE_DAYS
    unknown = [_unknown_share(each) for each in (ph, chloride) if each is not None]
    load += _UNKNOWN_WEIGHT * sum(unknown) / len(unknown)
    return max(_SHORTEST_SHARE, 1.0 / (1.0 + load))


def _unknown_share(course: Course) -> float:
    """Return the share of the time of which nothing is known."""
    whole = course.known_days + course.unknown_days
    return course.unknown_days / whole if whole > 0.0 else 0.0


def _course(
    values: list[tuple[datetime, float]],
    *,
    span: tuple[datetime, datetime],
    limits: tuple[float, float],
    longest_gap_d: float,
) -> Course:
    """Integrate one quantity over the span."""
    low, high = limits
    days = _days(*span)
    known = days_below = days_above = below = above = 0.0
    seen: list[float] = []
    ordered = sorted(values)
    for (t0, v0), (t1, v1) in itertools.pairwise(ordered):
        if t1 <= span[0] or t0 >= span[1] or not 0.0 < _days(t0, t1) <= longest_gap_d:
            continue
        start, end = max(t0, span[0]), min(t1, span[1])
        rise = (v1 - v0) / _days(t0, t1)
        first, last = v0 + rise * _days(t0, start), v0 + rise * _days(t0, end)
        length = _days(start, end)
        time_over, area_over = _part_above(first - high, last - high, length)
        time_under, area_under = _part_above(low - first, low - last, length)
        known += length
        days_above += time_over
        above += area_over
        days_below += time_under
        below += area_under
        seen += [first, last]
    return Course(
        days_below=days_below,
        days_above=days_above,
        below=below,
        above=above,
        known_days=known,
        unknown_days=max(0.0, days - known),
        lowest=min(seen, default=None),
        highest=max(seen, default=None),
    )


def _part_above(first: float, last: float, length: float) -> tuple[float, float]:
    """Return how long a straight line lies above zero, and the area under it there."""
    if first <= 0.0 and last <= 0.0:
        return 0.0, 0.0
    if first >= 0.0 and last >= 0.0:
        return length, 0.5 * (first + last) * length
    top = max(first, last)
    share = top / abs(last - first)
    return share * length, 0.5 * top * share * length


def _days(start: datetime, end: datetime) -> float:
    """Return the days between two instants."""
    return (end - start).total_seconds() / _DAY_S
