"""What would lower the cost: ideas side by side, with cost, saving and pay-back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.ideas import Idea, Starting, usual_ideas, variant_of
from tubcare.energy.what_if import Outcome, Scenario, compare
from tubcare.errors import InputError
from tubcare.ledger.currency import currency
from tubcare.services.household import logbook_currency
from tubcare.services.power_build import build_catalogue
from tubcare.services.power_site import read_site

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from tubcare.energy.uncertainty import Spread
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import MonthDay, TubId, TubProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """A tub through one planned season, ready to be compared; it needs the logbook no more."""

    tub: TubPlace
    base: Scenario
    spread: Spread
    start: Starting
    ideas: tuple[Idea, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """An idea with its outcome; `idea` is None for the tub as it is."""

    idea: Idea | None
    outcome: Outcome


def what_if(desk: Desk, tub: TubId | str | None = None) -> WhatIf:
    """Return a tub's planned season to compare ideas on, with a first set of ideas.

    Raises
    ------
    InputError
        When there is no typical weather or no price to compare with, and what to do about it.
    """
    with desk.read() as connection:
        found = read_site(connection, tub)
        minor = currency(logbook_currency(connection)).minor_per_unit
    build, site = found.build, found.site
    if site.weather.typical is None:
        raise InputError(
            "weather",
            "a season to come needs typical weather; type twelve monthly means or import a typical"
            " year",
        )
    if site.tariff is None:
        raise InputError("price", "set the price of power first")
    first, last = planned_season(build.profile, desk.today(build.place.zone))
    catalogue = build_catalogue()
    return WhatIf(
        tub=build.place,
        base=Scenario(
            tub=replace(site.tub, resting=build.described.cooling_w == 0.0),
            year=site.weather.typical,
            first=first,
            last=last,
            zone=site.weather.zone,
            tariff=site.tariff,
        ),
        spread=site.spread,
        start=Starting(
            profile=build.profile,
            described=build.described,
            catalogue=catalogue,
            learned=found.learned.applied,
            minor_per_unit=minor,
        ),
        ideas=usual_ideas(build.described, catalogue, found.plan),
    )


def compare_ideas(
    asked: WhatIf, ideas: Sequence[Idea], *, should_stop: Callable[[], bool] | None = None
) -> Iterator[Compared]:
    """Yield the tub as it is, then each idea as it is computed, with ranges; no logbook is used.

    Raises
    ------
    InputError, OutOfRangeError
        When an idea cannot be used; raised before anything is computed.
    """
    variants = [variant_of(idea, asked.start) for idea in ideas]
    names: list[Idea | None] = [None, *ideas]
    outcomes = compare(asked.base, variants, should_stop=should_stop, spread=asked.spread)
    for idea, outcome in zip(names, outcomes, strict=False):
        yield Compared(idea=idea, outcome=outcome)


def planned_season(profile: TubProfile, today: date) -> tuple[date, date]:
    """Return first and last day of the planned season that holds today, else of the next one."""
    for year in (today.year - 1, today.year, today.year + 1):
        first = _on(year, profile.season_opens)
        closes = _on(year, profile.season_closes)
        if closes <= first:
            closes = _on(year + 1, profile.season_closes)
        if closes > today:
            return first, closes - timedelta(days=1)
    raise InputError("season", "the planned season has no days")


def _on(year: int, day: MonthDay) -> date:
    leap_day = (day.month, day.day) == (2, 29)
    return date(year, day.month, 28 if leap_day else day.day)
