"""Things that a person might change about a tub, as variants to compare."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.from_profile import tub_from
from tubcare.energy.ranges import require
from tubcare.energy.tariff_plan import TariffPlan, check_plan
from tubcare.energy.what_if import Scenario, Variant
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.energy.from_profile import BuildCatalogue, Described
    from tubcare.energy.tub import Tub
    from tubcare.values import TubProfile

_A_YEAR = timedelta(days=365)


class IdeaKind(StrEnum):
    """What would be changed."""

    SET_POINT = "set_point"  # to [°C]
    PUMP_HOURS = "pump_hours"  # to [h] a day
    SHADING = "shading"  # to a share of the sun kept off [-]
    WALL = "wall"  # to a named build-up
    LID = "lid"  # to a named build-up
    SEASON = "season"  # closed earlier by [d], later below 0
    PRICE = "price"  # one price for every hour, in units of the currency for a kWh
    TARIFF = "tariff"  # another tariff


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """One change: `amount` for those with a number, `build_up` for walls and lids, or a `tariff`.

    `price_minor` is what it takes to make it, None when it costs nothing or is not known.
    """

    kind: IdeaKind
    amount: float = 0.0
    build_up: str = ""
    tariff: TariffPlan | None = None
    price_minor: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Starting:
    """What variants start from: the description, and how the tub was learned to differ from it."""

    profile: TubProfile
    described: Described
    catalogue: BuildCatalogue
    learned: Callable[[Tub], Tub]
    minor_per_unit: int


def variant_of(idea: Idea, start: Starting) -> Variant:
    """Return an idea as a variant of a scenario.

    Parameters
    ----------
    idea
        With its amount in the unit of its kind: [°C], 1..30; [h], 0..24; [-], 0..1; [d],
        -180..180.
    start
        What it starts from.

    Raises
    ------
    InputError, OutOfRangeError
        When the amount or the build-up cannot be used.

    References
    ----------
    Own definition.
    """
    if idea.kind is IdeaKind.SEASON:
        require("amount", idea.amount, -180.0, 180.0)
        return _variant(idea, lambda scenario: _closed_earlier(scenario, int(idea.amount)))
    if idea.kind in {IdeaKind.PRICE, IdeaKind.TARIFF}:
        plan = idea.tariff or TariffPlan(price=Decimal(repr(idea.amount)))
        check_plan(plan)
        tariff = plan.tariff(start.minor_per_unit)
        if tariff is not None:
            return _variant(idea, lambda scenario: replace(scenario, tariff=tariff))
    tub = start.learned(tub_from(start.profile, _changed(idea, start.described), start.catalogue))
    return _variant(idea, lambda scenario: replace(scenario, tub=tub))


def usual_ideas(
    described: Described, catalogue: BuildCatalogue, tariff: TariffPlan
) -> tuple[Idea, ...]:
    """Return a first set of ideas that differ from what is there.

    Raises nothing.

    Parameters
    ----------
    described
        What is there.
    catalogue
        Build-ups to choose from.
    tariff
        In use; what it keeps of other kinds of price is an idea as well.

    References
    ----------
    Own choice.
    """
    found = [
        Idea(kind=IdeaKind.SET_POINT, amount=min(described.set_point_c + 2.0, 30.0)),
        Idea(kind=IdeaKind.PUMP_HOURS, amount=8.0),
        Idea(kind=IdeaKind.SHADING, amount=0.8),
        Idea(kind=IdeaKind.SEASON, amount=14.0),
    ]
    for part, kind, keys in (
        (described.wall, IdeaKind.WALL, ("foam_50_wood_20", "xps_80_wood_20")),
        (described.lid, IdeaKind.LID, ("foam_lid_40", "foam_lid_80")),
    ):
        known = catalogue.keys(kind.value)
        found += [Idea(kind=kind, build_up=key) for key in keys if key != part and key in known]
    found += [Idea(kind=IdeaKind.TARIFF, tariff=other) for other in tariff.of_other_kinds()]
    return tuple(each for each in found if not _is_there(each, described))


def _is_there(idea: Idea, described: Described) -> bool:
    return (idea.kind is IdeaKind.PUMP_HOURS and described.pump_hours_per_day <= idea.amount) or (
        idea.kind is IdeaKind.SHADING and described.shading >= idea.amount
    )


def _changed(idea: Idea, described: Described) -> Described:
    match idea.kind:
        case IdeaKind.SET_POINT:
            return replace(described, set_point_c=idea.amount)
        case IdeaKind.PUMP_HOURS:
            return replace(described, pump_hours_per_day=idea.amount)
        case IdeaKind.SHADING:
            return replace(described, shading=idea.amount)
        case IdeaKind.WALL:
            return replace(described, wall=idea.build_up, wall_layers=())
        case _:
            return replace(described, lid=idea.build_up, lid_layers=())


def _variant(idea: Idea, change: Callable[[Scenario], Scenario]) -> Variant:
    return Variant(name=idea.kind.value, change=change, price_minor=idea.price_minor)


def _closed_earlier(scenario: Scenario, days: int) -> Scenario:
    last: date = scenario.last - timedelta(days=days)
    if last < scenario.first:
        raise InputError("amount", "the season would end before it begins")
    if last - scenario.first >= _A_YEAR:
        raise InputError("amount", "the season would last over a year")
    return replace(scenario, last=last)
