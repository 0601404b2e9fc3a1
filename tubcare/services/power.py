"""What a tub's cold costs: this month and season, metered and modelled with an honest range."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.services.power_days import (
    energy_by_day,
    meter_steps,
    season_of_states,
    states_of,
    stretches,
)
from tubcare.services.power_model import DayModel
from tubcare.services.power_site import PowerSite, read_site
from tubcare.services.power_spans import PowerSpan, power_spans

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_WEEK_DAYS = 7
_LONGEST_SEASON_DAYS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """What a tub's cold costs.

    `season`, `months` and `weeks` cover the newest season up to today; all are empty for a tub
    that was never opened. `typical_share` says which part of the hours has no measured weather.
    """

    tub: TubPlace
    today: date
    site: PowerSite
    season: PowerSpan | None = None
    month: PowerSpan | None = None
    months: tuple[PowerSpan, ...] = ()
    weeks: tuple[PowerSpan, ...] = ()
    typical_share: float = 0.0
    missing_price_hours: int = 0

    @property
    def has_weather(self) -> bool:
        """Whether anything can be modelled."""
        return self.site.site.weather.known

    @property
    def has_price(self) -> bool:
        """Whether costs can be told."""
        return self.site.site.tariff is not None


def power(desk: Desk, tub: TubId | str | None = None) -> Power:
    """Return what a tub's cold costs; takes a tenth of a second and more, so never on a UI thread.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    with desk.read() as connection:
        site = read_site(connection, tub)
        place = site.build.place
        today = desk.today(place.zone)
        states = states_of(connection, place.id)
        metered = energy_by_day(meter_steps(connection, place.id))
    season = season_of_states(states, today)
    if season is None:
        return Power(tub=place, today=today, site=site)
    first, last = max(season[0], season[1] - timedelta(days=_LONGEST_SEASON_DAYS)), season[1]
    ran = stretches(states, first, last)
    model = DayModel(site.site, ran) if site.site.weather.known else None
    months, weeks = months_of(first, last), _weeks(first, last)
    spans = power_spans([(first, last), *months, *weeks], ran, metered, model, site)
    by_month = spans[1 : 1 + len(months)]
    this_month = [span for span in by_month if span.first.replace(day=1) == today.replace(day=1)]
    return Power(
        tub=place,
        today=today,
        site=site,
        season=spans[0],
        month=this_month[0] if this_month else None,
        months=by_month,
        weeks=spans[1 + len(months) :],
        typical_share=0.0 if model is None else model.typical_hours / max(1, model.hours),
        missing_price_hours=0 if model is None else model.missing_price_hours,
    )


def months_of(first: date, last: date) -> list[tuple[date, date]]:
    """Return first and last day of each month from `first` to `last`, cut at both ends."""
    found = []
    while first <= last:
        after = date(first.year + first.month // 12, first.month % 12 + 1, 1)
        found.append((first, min(last, after - timedelta(days=1))))
        first = after
    return found


def _weeks(first: date, last: date) -> list[tuple[date, date]]:
    """Return weeks from `first` on; the newest may be short."""
    found = []
    while first <= last:
        found.append((first, min(last, first + timedelta(days=_WEEK_DAYS - 1))))
        first += timedelta(days=_WEEK_DAYS)
    return found
