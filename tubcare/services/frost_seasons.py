"""The frosts of the record: season by season, and how often they had come by a day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.frost_dates import date_in_season, day_of_season, first_frosts, last_frosts

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from tubcare.energy.frost_dates import DailyMinima, SeasonDate, SeasonStart
    from tubcare.energy.frost_plan import FrostChoices

_CHART_STEP_DAYS = 7
_CHART_MARGIN_DAYS = 14
_MOST_POINTS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonFrosts:
    """The frosts of one season of the record; None when it had none or has gaps there."""

    season: int
    first: date | None
    first_hard: date | None
    last: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChancePoint:
    """Share of the recorded seasons in which frost had come by a day. [-], 0..1."""

    on: date
    frost: float
    hard: float


def recorded_seasons(
    minima: DailyMinima, choices: FrostChoices, start: SeasonStart
) -> tuple[SeasonFrosts, ...]:
    """Return the frosts of each season of the record, the newest first."""
    watching, hard = choices.watch_rule(start), choices.dry_rule(start)
    first = _by_season(first_frosts(minima, watching))
    first_hard = _by_season(first_frosts(minima, hard))
    last = _by_season(last_frosts(minima, watching))
    return tuple(
        SeasonFrosts(
            season=season,
            first=first.get(season),
            first_hard=first_hard.get(season),
            last=last.get(season),
        )
        for season in sorted(first.keys() | last.keys(), reverse=True)
    )


def _by_season(found: Sequence[SeasonDate]) -> dict[int, date | None]:
    return {
        each.season: None if each.day is None else date_in_season(each.season, each.day)
        for each in found
    }


def chances(
    minima: DailyMinima,
    choices: FrostChoices,
    start: SeasonStart,
    season: int,
    marked: Iterable[date | None] = (),
) -> tuple[ChancePoint, ...]:
    """Return the share of seasons with frost by each week, counted, around all first frosts.

    Each marked day has a point of its own.
    """
    first = first_frosts(minima, choices.watch_rule(start))
    hard = first_frosts(minima, choices.dry_rule(start))
    days = [each.day for each in (*first, *hard) if each.day is not None]
    if not days or not hard:
        return ()
    begins, ends = min(days) - _CHART_MARGIN_DAYS, max(days) + _CHART_MARGIN_DAYS
    step = max(_CHART_STEP_DAYS, -(-(ends - begins) // _MOST_POINTS))
    own = {day_of_season(on, start)[1] for on in marked if on is not None}
    return tuple(
        ChancePoint(
            on=date_in_season(season, day), frost=_share(first, day), hard=_share(hard, day)
        )
        for day in sorted({*range(begins, ends, step), *own})
    )


def _share(seasons: Sequence[SeasonDate], day: int) -> float:
    come = sum(1 for each in seasons if each.day is not None and each.day <= day)
    return come / len(seasons)
