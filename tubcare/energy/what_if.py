"""What would lower the cost: variants side by side, each with cost, saving and pay-back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.season_cost import SeasonCosts
from tubcare.energy.tariff import rounded_minor
from tubcare.energy.uncertainty import joined

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from datetime import date
    from zoneinfo import ZoneInfo

    from tubcare.energy.season_cost import SeasonCost
    from tubcare.energy.tariff import Tariff
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Estimate, Spread
    from tubcare.energy.weather import TypicalYear


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A tub through one season of a typical year at a tariff; `last` is its last day."""

    tub: Tub
    year: TypicalYear
    first: date
    last: date
    zone: ZoneInfo
    tariff: Tariff


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A change to a scenario, and what it takes to make it. [minor units], or None."""

    name: str
    change: Callable[[Scenario], Scenario]
    price_minor: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PayBack:
    """After how many seasons a price is saved at the ends of a saving's range. [seasons].

    `latest` is None when the saving may as well be none.
    """

    soonest: float
    latest: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a variant costs per season.

    `traps_pump_heat` marks the case in which a variant leaks less and yet costs more: in cold
    weather the pump's heat no longer escapes. `cannot_hold` says that the chiller is too small for
    some hours, `missing_price_hours` how many hours have no price yet and are counted at the usual
    one of their month and hour. The ranges [minor units] are there where it was said what is not
    known about the tub; a saving is better known than the two costs it lies between: both share
    the same tub.
    `pay_back_seasons` is None when the variant has no price or saves nothing.
    """

    name: str
    kwh: float
    run_h: float
    cost_minor: float
    saving_minor: float
    pay_back_seasons: float | None
    traps_pump_heat: bool
    cannot_hold: bool
    missing_price_hours: int
    cost_range: Estimate | None = None
    saving_range: Estimate | None = None
    pay_back_range: PayBack | None = None

    @property
    def rounded_cost_minor(self) -> int:
        """Cost in whole [minor units]."""
        return rounded_minor(self.cost_minor)


def compare(
    base: Scenario,
    variants: Iterable[Variant],
    *,
    should_stop: Callable[[], bool] | None = None,
    spread: Spread | None = None,
) -> Iterator[Outcome]:
    """Yield the base first, then each variant as it is computed.

    Parameters
    ----------
    base
        What is compared with; costs in [minor units].
    variants
        In the order in which they come back.
    should_stop
        Asked before each variant; True ends the comparison. Leaving the iterator does as well.
    spread
        What is not known about the tub, for ranges; none without it. Seven seasons are computed
        for each variant then in place of one.

    Raises
    ------
    InputError, OutOfRangeError
        If a variant cannot be computed.

    References
    ----------
    Own definition; simple pay-back: price over saving per season.
    """
    seasons = SeasonCosts(spread)
    plain = seasons.of(base)
    yield _outcome(Variant(name="", change=lambda same: same), base, base, (plain, plain))
    for variant in variants:
        if should_stop is not None and should_stop():
            return
        changed = variant.change(base)
        yield _outcome(variant, base, changed, (plain, seasons.of(changed)))


def _outcome(
    variant: Variant, base: Scenario, changed: Scenario, seasons: tuple[SeasonCost, SeasonCost]
) -> Outcome:
    plain, season = seasons
    saving = plain.cost_minor - season.cost_minor
    pay_back = pay_back_range = None
    cost_range, saving_range = _ranges(plain, season)
    if variant.price_minor is not None and saving > 0.0:
        pay_back = variant.price_minor / saving
        pay_back_range = _pay_back_range(variant.price_minor, saving_range)
    leaks_less = changed.tub.envelope.ua_w_k() < base.tub.envelope.ua_w_k()
    return Outcome(
        name=variant.name,
        kwh=season.kwh,
        run_h=season.run_h,
        cost_minor=season.cost_minor,
        saving_minor=saving,
        pay_back_seasons=pay_back,
        traps_pump_heat=leaks_less and season.kwh > plain.kwh,
        cannot_hold=season.cannot_hold,
        missing_price_hours=season.missing_hours,
        cost_range=cost_range,
        saving_range=saving_range,
        pay_back_range=pay_back_range,
    )


def _pay_back_range(price_minor: int, saving: Estimate | None) -> PayBack | None:
    if saving is None:
        return None
    latest = price_minor / saving.low if saving.low > 0.0 else None
    return PayBack(soonest=price_minor / saving.high, latest=latest)


def _ranges(plain: SeasonCost, season: SeasonCost) -> tuple[Estimate | None, Estimate | None]:
    """Return the ranges of cost and saving: the same tub, not quite known, with and without."""
    if not season.moved_minor:
        return None, None
    middle = (season.cost_minor, plain.cost_minor - season.cost_minor)
    pairs = zip(plain.moved_minor, season.moved_minor, strict=True)
    cost, saving = joined(middle, [(after, before - after) for before, after in pairs])
    return cost, saving
