"""Weighing whether the water is due for changing: bathers, cyanurate, salts, age."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.water.combined import FRESH_WATER_L_PER_BATHER
from tubcare.water.limits import check

if TYPE_CHECKING:
    from tubcare.water.reading import WaterTest


class ChangeReason(StrEnum):
    """Why water is changed."""

    BATHERS = "bathers"
    CYANURIC_ACID = "cyanuric_acid"
    DISSOLVED_SOLIDS = "dissolved_solids"
    CHLORIDE = "chloride"
    AGE = "age"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLimits:
    """When a change is due.

    Defaults: 30 L of fresh water per bather (WHO 2006 vol. 2, 5.4; DIN 19643-1), dissolved solids
    1000 mg/L over the fill water (WHO 2006, from memory; Montana 37.115 allows 1500), cyanurate 50
    mg/L (Montana 37.115), chloride of the liner, age by choice. None leaves a limit out.
    """

    litres_per_bather: float | None = FRESH_WATER_L_PER_BATHER
    solids_over_fill_mg_l: float | None = 1000.0
    cyanuric_acid_mg_l: float | None = 50.0
    chloride_mg_l: float | None = None
    age_days: float | None = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeWeight:
    """How far one reason has come: 1 and above is due. `litres` would settle it. [-, L]."""

    reason: ChangeReason
    share: float
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeAdvice:
    """All reasons weighed, the heaviest first; `litres` settles every one that is due. [L]."""

    weights: tuple[ChangeWeight, ...]
    due: bool
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterHistory:
    """What the water has been through.

    `volume_l` 1..100000 [L]; `bathers` and `refilled_l` since the last full fill, top-ups and
    partial changes counted, from 0 [L]; `age_days` since that fill, from 0, None where nobody
    knows. [d]
    """

    volume_l: float
    bathers: int
    refilled_l: float
    age_days: float | None


def weigh_change(
    history: WaterHistory,
    *,
    test: WaterTest | None,
    fill: WaterTest | None,
    limits: ChangeLimits,
) -> ChangeAdvice:
    """Return how far each reason for a change has come, and the litres that would settle it.

    Raises
    ------
    OutOfRangeError
        If a volume, a count or an age lies outside its range.

    References
    ----------
    Dilution c' = (1-f) c + f c_fill (mass balance); limits: see `ChangeLimits`.
    """
    volume = history.volume_l
    check("volume_l", volume, 1.0, 100_000.0)
    check("bathers", history.bathers, 0, 1e7)
    check("refilled_l", history.refilled_l, 0.0, 1e9)
    if history.age_days is not None:
        check("age_days", history.age_days, 0.0, 1e5)
    weights: list[ChangeWeight] = []
    if limits.litres_per_bather is not None:
        owed = history.bathers * limits.litres_per_bather
        fresh = volume + history.refilled_l
        weights.append(
            ChangeWeight(
                reason=ChangeReason.BATHERS,
                share=owed / fresh,
                litres=min(volume, max(0.0, owed - history.refilled_l)),
            )
        )
    if limits.age_days is not None and history.age_days is not None:
        share = history.age_days / limits.age_days
        weights.append(ChangeWeight(reason=ChangeReason.AGE, share=share, litres=volume))
    if test is not None:
        weights += _dissolved(test, fill, limits, volume)
    weights.sort(key=lambda weight: -weight.share)
    due = [weight for weight in weights if weight.share >= 1.0]
    return ChangeAdvice(
        weights=tuple(weights),
        due=bool(due),
        litres=max((weight.litres for weight in due), default=0.0),
    )


def fraction_to_reach(value: float, limit: float, fill_value: float) -> float | None:
    """Return the share of the water to replace so that `value` falls to `limit`.

    0 when it is there already; None when the fill water itself is not below the limit. Raises
    nothing.

    Parameters
    ----------
    value, limit, fill_value
        What the water holds, is to hold at most, and the fill water holds. Any one unit, any

    References
    ----------
    Mass balance, as `weigh_change`.
    """
    if value <= limit:
        return 0.0
    if fill_value >= limit:
        return None
    return (value - limit) / (value - fill_value)


def _dissolved(
    test: WaterTest, fill: WaterTest | None, limits: ChangeLimits, volume_l: float
) -> list[ChangeWeight]:
    """Return the weights of what is dissolved in the water."""
    fill_solids = (fill.tds_mg_l if fill is not None else None) or 0.0
    rows: list[tuple[ChangeReason, float, float | None, float]] = []
    if test.cyanuric_acid_mg_l > 0.0:
        rows.append(
            (ChangeReason.CYANURIC_ACID, test.cyanuric_acid_mg_l, limits.cyanuric_acid_mg_l, 0.0)
        )
    if test.tds_mg_l is not None and limits.solids_over_fill_mg_l is not None:
        limit = fill_solids + limits.solids_over_fill_mg_l
        rows.append((ChangeReason.DISSOLVED_SOLIDS, test.tds_mg_l, limit, fill_solids))
    if test.chloride_mg_l is not None:
        fill_chloride = (fill.chloride_mg_l if fill is not None else None) or 0.0
        rows.append(
            (ChangeReason.CHLORIDE, test.chloride_mg_l, limits.chloride_mg_l, fill_chloride)
        )
    weights = []
    for reason, value, limit_value, fill_value in rows:
        if limit_value is None or limit_value <= 0.0:
            continue
        # Down to two thirds of the limit, or the next dose is over it again (own choice).
        wanted = max(fill_value, limit_value * 2.0 / 3.0)
        share = fraction_to_reach(value, wanted, fill_value)
        weights.append(
            ChangeWeight(
                reason=reason,
                share=value / limit_value,
                litres=volume_l if share is None else share * volume_l,
            )
        )
    return weights
