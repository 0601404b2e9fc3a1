"""Where an open water goes by itself: towards the carbon dioxide of the air, and what dosing adds.

At rest with the air the pH depends on alkalinity and temperature alone. Acid lowers both, so acid
against a high alkalinity comes back; a lower alkalinity ends it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.water import masses
from tubcare.water.compounds import EFFECTS, Compound
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import (
    AIR_CO2_PPM,
    CO2_PPM,
    at_rest_with_air,
    carbon_by,
    carbon_dioxide_at,
    medium_of,
    other_alkalinity,
    ph_at_carbon_dioxide,
)
from tubcare.water.inverse import dose_to_ph
from tubcare.water.limits import check
from tubcare.water.speciation import carbonate_alkalinity, frame_at

if TYPE_CHECKING:
    from tubcare.water.balance import Balance
    from tubcare.water.reading import Totals

_RESTING_PH = (6.5, 9.0)
_RANGE_PH = (0.0, 14.0)
_MONTH_D = 30.0
_MOST_CORRECTIONS = 60
# The last hundredth of a unit of pH takes for ever: as good as at rest.
_SETTLED = 1.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """How fast surplus carbon dioxide leaves the water: first-order rate with its range. [1/d]."""

    low_per_day: float
    high_per_day: float


# Half-lives of 1-6 days open, 6-35 under a lid: own estimate, no source; the log knows better.
OPEN_WATER = Exchange(low_per_day=0.12, high_per_day=0.7)
LIDDED_WATER = Exchange(low_per_day=0.02, high_per_day=0.12)


class DriftAdvice(StrEnum):
    """What the month ahead calls for."""

    STAYS_IN_RANGE = "stays_in_range"
    LOWER_ALKALINITY = "lower_alkalinity"
    LOWEST_ALKALINITY_STILL_DRIFTS = "lowest_alkalinity_still_drifts"
    RAISE_ALKALINITY = "raise_alkalinity"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """The month ahead without and with corrections.

    Attributes
    ----------
    rest_ph
        At balance with the air. [-]
    ph_after_month_low, ph_after_month_high
        Range after 30 days without correction. [-]
    leaves_range_day_early, leaves_range_day_late
        When the pH leaves its range, by the fast and the slow exchange; None: not in 30 days. [d]
    corrections_low, corrections_high
        Acid corrections in the month if the pH is brought back to its aim each time.
    acid_mmol_l
        Acid that the fast exchange would take in the month. [meq/L]
    advice, advised_alkalinity_mg_l, advised_rest_ph
        What to do; the alkalinity [mg/L as CaCO3] and the pH it rests at, None where nothing needs
        to change.
    """

    rest_ph: float
    ph_after_month_low: float
    ph_after_month_high: float
    leaves_range_day_early: float | None
    leaves_range_day_late: float | None
    corrections_low: int
    corrections_high: int
    acid_mmol_l: float
    advice: DriftAdvice
    advised_alkalinity_mg_l: float | None
    advised_rest_ph: float | None


def resting_alkalinity(state: Balance, *, ph: float, co2_ppm: float = AIR_CO2_PPM) -> float:
    """Return the alkalinity [mg/L as CaCO3] at which the water rests at `ph`.

    Salts, sanitiser and temperature as in `state`.

    Parameters
    ----------
    ph
        [-], 6.5..9
    co2_ppm
        Carbon dioxide in the air at one atmosphere. [ppm], 150..5000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Henry's law and the full balance; Plummer & Busenberg 1982.
    """
    check("ph", ph, *_RESTING_PH)
    check("co2_ppm", co2_ppm, *CO2_PPM)
    constants = constants_at(state.water_c)
    medium = medium_of(state.totals, constants)
    frame = frame_at(medium, ph)
    dissolved = constants.kh * co2_ppm * 1e-6 / medium.activities.neutral
    carbonate = carbonate_alkalinity(
        frame, dissolved / frame.co2_ratio, state.totals.calcium * 1e-3
    )
    others = other_alkalinity(state.totals, frame)
    return 1e3 * (carbonate + others) * masses.ALKALINITY_EQUIVALENT


def ph_after(state: Balance, *, days: float, rate_per_day: float) -> float:
    """Return the pH after so many days of exchange with the air at a first-order rate.

    Parameters
    ----------
    days
        [d], 0..400
    rate_per_day
        At which surplus carbon dioxide is lost. [1/d], 0..100

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.
    """
    check("days", days, 0.0, 400.0)
    check("rate_per_day", rate_per_day, 0.0, 100.0)
    start = 10.0**state.log_pco2
    air = AIR_CO2_PPM * 1e-6
    pressure = air + (start - air) * math.exp(-rate_per_day * days)
    return ph_at_carbon_dioxide(state.totals, water_c=state.water_c, pressure_atm=pressure)


def days_between(start_atm: float, edge_atm: float, rate_per_day: float) -> float | None:
    """Return in how many days the carbon dioxide goes from one pressure to another. [d].

    None where it never does: from the other side of the air's, or without exchange. It raises
    nothing.

    Parameters
    ----------
    start_atm, edge_atm
        Both pressures. [atm], any
    rate_per_day
        At which surplus carbon dioxide is lost. [1/d], any
    """
    air = AIR_CO2_PPM * 1e-6
    start, left = start_atm - air, edge_atm - air
    if start * left <= 0.0 or rate_per_day <= 0.0:
        return None
    return max(0.0, math.log(start / left) / rate_per_day)


def month_ahead(
    state: Balance,
    *,
    ph_low: float,
    ph_aim: float,
    ph_high: float,
    lowest_alkalinity_mg_l: float,
    exchange: Exchange = OPEN_WATER,
) -> Outlook:
    """Return where the pH goes in 30 days and whether a lower alkalinity would end the acid.

    Parameters
    ----------
    ph_low, ph_aim, ph_high
        The tub's range. [-], 0..14
    lowest_alkalinity_mg_l
        Below which the tub's range does not go (CaCO3). [mg/L], 0..10000

    Raises
    ------
    InputError
        If the pH range is not in order.
    """
    check("ph_low", ph_low, *_RANGE_PH)
    check("ph_high", ph_high, *_RANGE_PH)
    check("lowest_alkalinity_mg_l", lowest_alkalinity_mg_l, 0.0, 10_000.0)
    if not ph_low <= ph_aim <= ph_high:
        raise InputError("ph_aim", "must lie within the range of pH")
    rest_ph, _ = at_rest_with_air(state.totals, water_c=state.water_c)
    early = _leaving_day(state, ph_low, ph_high, rest_ph, exchange.high_per_day)
    late = _leaving_day(state, ph_low, ph_high, rest_ph, exchange.low_per_day)
    ends = [
        ph_after(state, days=_MONTH_D, rate_per_day=rate)
        for rate in (exchange.low_per_day, exchange.high_per_day)
    ]
    most, acid = _corrections(state, ph_aim, ph_high, exchange.high_per_day)
    least, _ = _corrections(state, ph_aim, ph_high, exchange.low_per_day)
    advice, alkalinity, advised_ph = _advice(
        state, rest_ph, ph_low, ph_high, lowest_alkalinity_mg_l
    )
    return Outlook(
        rest_ph=rest_ph,
        ph_after_month_low=min(ends),
        ph_after_month_high=max(ends),
        leaves_range_day_early=early,
        leaves_range_day_late=late,
        corrections_low=least,
        corrections_high=most,
        acid_mmol_l=acid,
        advice=advice,
        advised_alkalinity_mg_l=alkalinity,
        advised_rest_ph=advised_ph,
    )


def _advice(
    state: Balance, rest_ph: float, ph_low: float, ph_high: float, floor_mg_l: float
) -> tuple[DriftAdvice, float | None, float | None]:
    """Return the advice, the alkalinity and the pH it rests at."""
    if ph_low <= rest_ph <= ph_high:
        return DriftAdvice.STAYS_IN_RANGE, None, None
    present = state.totals.alkalinity_mg_l
    if rest_ph < ph_low:
        edge = min(max(ph_low, _RESTING_PH[0]), _RESTING_PH[1])
        return DriftAdvice.RAISE_ALKALINITY, resting_alkalinity(state, ph=edge), edge
    edge = min(max(ph_high, _RESTING_PH[0]), _RESTING_PH[1])
    wanted = resting_alkalinity(state, ph=edge)
    if wanted >= floor_mg_l:
        return DriftAdvice.LOWER_ALKALINITY, wanted, edge
    at_floor = _rest_at_alkalinity(state, min(floor_mg_l, present))
    return DriftAdvice.LOWEST_ALKALINITY_STILL_DRIFTS, min(floor_mg_l, present), at_floor


def _rest_at_alkalinity(state: Balance, alkalinity_mg_l: float) -> float:
    """Return the pH at rest at another alkalinity."""
    totals = _with_alkalinity(state.totals, alkalinity_mg_l / masses.ALKALINITY_EQUIVALENT)
    return at_rest_with_air(totals, water_c=state.water_c)[0]


def _with_alkalinity(totals: Totals, alkalinity: float) -> Totals:
    """Return the totals as acid (as hydrochloric) or base would leave them."""
    moved = totals.alkalinity - alkalinity
    return totals.moved(alkalinity=-moved, chloride=max(0.0, moved))


def _leaving_day(
    state: Balance, ph_low: float, ph_high: float, rest_ph: float, rate_per_day: float
) -> float | None:
    """Return the day on which the pH leaves its range, None if not within the month."""
    if not ph_low <= state.ph <= ph_high:
        return 0.0
    if ph_low <= rest_ph <= ph_high:
        return None
    edge = ph_high if rest_ph > ph_high else ph_low
    pressure = carbon_dioxide_at(constants_at(state.water_c), state.totals, edge)
    day = days_between(10.0**state.log_pco2, pressure, rate_per_day)
    return day if day is not None and day <= _MONTH_D else None


def _corrections(
    state: Balance, ph_aim: float, ph_high: float, rate_per_day: float
) -> tuple[int, float]:
    """Return how often in a month acid brings the pH back to its aim, and how much [meq/L]."""
    constants = constants_at(state.water_c)
    totals, pressure = state.totals, 10.0**state.log_pco2
    day, acid, count = 0.0, 0.0, 0
    while count < _MOST_CORRECTIONS:
        edge = carbon_dioxide_at(constants, totals, ph_high)
        wait = days_between(pressure, edge, rate_per_day) if pressure > edge else 0.0
        # At rest inside the range, or no edge reached within the month.
        if edge <= AIR_CO2_PPM * 1e-6 * _SETTLED or wait is None or day + wait > _MONTH_D:
            break
        day += wait
        ready = replace(totals, carbon=carbon_by(constants, totals, ph_high))
        dose_mg_l = dose_to_ph(
            ready, Compound.HYDROCHLORIC_ACID, water_c=state.water_c, target_ph=ph_aim
        )
        if not dose_mg_l:
            break
        dose = dose_mg_l / EFFECTS[Compound.HYDROCHLORIC_ACID].molar_mass
        acid += dose
        count += 1
        totals = ready.moved(alkalinity=-dose, chloride=dose)
        pressure = carbon_dioxide_at(constants, totals, ph_aim)
    return count, acid
