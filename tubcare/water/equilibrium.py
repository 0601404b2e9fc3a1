"""pH from the totals: of a closed water, and of a water at rest with the air above it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.activity import HIGHEST_IONIC_STRENGTH
from tubcare.water.equilibria import constants_at
from tubcare.water.limits import check
from tubcare.water.speciation import (
    Frame,
    bicarbonate_from_alkalinity,
    bicarbonate_from_carbon,
    carbonate_alkalinity,
    chlorine_species,
    frame_at,
    medium_at,
    total_carbon,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.water.equilibria import Constants
    from tubcare.water.reading import Totals
    from tubcare.water.speciation import Medium

LOWEST_PH = 2.0
HIGHEST_PH = 12.0
# Dry air, annual mean of the middle 2020s rounded (NOAA Global Monitoring Laboratory).
AIR_CO2_PPM = 420.0
# Within which any air lies. [ppm]
CO2_PPM = (150.0, 5000.0)

_FIRST_PH = 7.5
_FIRST_STEP = 0.3
_PH_PRECISION = 1e-11
_EDGE = 1e-6
_ITERATIONS = 100


def medium_of(totals: Totals, constants: Constants[float]) -> Medium[float]:
    """Return the activity coefficients and sodium pairs of these totals.

    Raises
    ------
    OutOfRangeError
        If the ionic strength exceeds 0.5 mol/L, where the activity models stop.
    """
    strength = totals.ionic_strength
    if not strength <= HIGHEST_IONIC_STRENGTH:
        raise OutOfRangeError("ionic_strength", strength, 0.0, HIGHEST_IONIC_STRENGTH)
    return medium_at(constants, strength, max(0.0, totals.sodium) * 1e-3)


def other_alkalinity(totals: Totals, frame: Frame[float]) -> float:
    """Return the alkalinity [mol/L] that no carbonate carries: water, sanitiser, borate."""
    alkalinity = frame.hydroxide - frame.hydrogen
    if totals.chlorine > 0.0 or totals.cyanurate > 0.0:
        alkalinity += chlorine_species(
            frame, totals.chlorine * 1e-3, totals.cyanurate * 1e-3
        ).alkalinity
    if totals.bromine > 0.0:
        ratio = frame.hypobromite_ratio
        alkalinity += totals.bromine * 1e-3 * ratio / (1.0 + ratio)
    if totals.boron > 0.0:
        alkalinity += totals.boron * 1e-3 * frame.borate_ratio / (1.0 + frame.borate_ratio)
    return alkalinity


def carbon_by(constants: Constants[float], totals: Totals, ph: float) -> float:
    """Return the inorganic carbon of `carbon_at`, the constants being at hand. [mmol/L].

    Parameters
    ----------
    ph
        [-], any; raises what `medium_of` and `carbon_in_frame` do
    """
    return carbon_in_frame(totals, frame_at(medium_of(totals, constants), ph))


def carbon_in_frame(totals: Totals, frame: Frame[float]) -> float:
    """Return the inorganic carbon; see `carbon_at`. [mmol/L].

    Raises
    ------
    InputError
        If the alkalinity is lower than what all but carbon carries.
    """
    carbonate = totals.alkalinity * 1e-3 - other_alkalinity(totals, frame)
    if carbonate < 0.0:
        raise InputError(
            "alkalinity_mg_l",
            "is lower than what sanitiser, cyanuric acid and water itself carry at this pH; "
            "test alkalinity and pH again",
        )
    calcium = totals.calcium * 1e-3
    bicarbonate = bicarbonate_from_alkalinity(frame, carbonate, calcium)
    return 1e3 * total_carbon(frame, bicarbonate, calcium)


def alkalinity_by(constants: Constants[float], totals: Totals, ph: float) -> float:
    """Return the alkalinity that the other totals carry, the carbon included. [meq/L].

    Parameters
    ----------
    ph
        At which they do. [-], any; raises what `medium_of` does
    """
    frame = frame_at(medium_of(totals, constants), ph)
    calcium = totals.calcium * 1e-3
    bicarbonate = bicarbonate_from_carbon(frame, totals.carbon * 1e-3, calcium)
    carbonate = carbonate_alkalinity(frame, bicarbonate, calcium)
    return 1e3 * (carbonate + other_alkalinity(totals, frame))


def carbon_dioxide_at(constants: Constants[float], totals: Totals, ph: float) -> float:
    """Return the pressure of carbon dioxide that alkalinity and pH stand for. [atm].

    Parameters
    ----------
    ph
        [-], any; raises what `medium_of` does
    """
    medium = medium_of(totals, constants)
    frame = frame_at(medium, ph)
    carbonate = totals.alkalinity * 1e-3 - other_alkalinity(totals, frame)
    bicarbonate = bicarbonate_from_alkalinity(frame, max(0.0, carbonate), totals.calcium * 1e-3)
    return bicarbonate * frame.co2_ratio * medium.activities.neutral / constants.kh


def solve_ph(totals: Totals, *, water_c: float) -> float:
    """Return the pH of a closed water with these totals.

    Parameters
    ----------
    totals
        All in mmol/L, alkalinity in meq/L.
    water_c
        [°C], 0..35

    Raises
    ------
    OutOfRangeError
        If no pH between 2 and 12 fits, as after a gross overdose.

    References
    ----------
    Stumm & Morgan, Aquatic Chemistry, ch. 4: alkalinity and total carbon are conserved.
    """
    return ph_by(constants_at(water_c), totals)


def ph_by(constants: Constants[float], totals: Totals) -> float:
    """Return the pH of `solve_ph`, the constants being at hand."""
    medium = medium_of(totals, constants)
    calcium = totals.calcium * 1e-3
    carbon = totals.carbon * 1e-3

    def excess(ph: float) -> float:
        frame = frame_at(medium, ph)
        bicarbonate = bicarbonate_from_carbon(frame, carbon, calcium)
        return (
            carbonate_alkalinity(frame, bicarbonate, calcium)
            + other_alkalinity(totals, frame)
            - totals.alkalinity * 1e-3
        )

    return _rising_root(excess)


def at_rest_with_air(
    totals: Totals, *, water_c: float, co2_ppm: float = AIR_CO2_PPM
) -> tuple[float, Totals]:
    """Return the pH and totals once carbon dioxide stands in balance with the air.

    Parameters
    ----------
    water_c
        [°C], 0..35
    co2_ppm
        Carbon dioxide in the air at one atmosphere. [ppm], 150..5000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Henry's law with the constant of Plummer & Busenberg 1982; alkalinity stays, carbon moves.
    """
    check("co2_ppm", co2_ppm, *CO2_PPM)
    pressure = co2_ppm * 1e-6
    ph = ph_at_carbon_dioxide(totals, water_c=water_c, pressure_atm=pressure)
    constants = constants_at(water_c)
    medium = medium_of(totals, constants)
    frame = frame_at(medium, ph)
    bicarbonate = _dissolved(medium, pressure) / frame.co2_ratio
    carbon = 1e3 * total_carbon(frame, bicarbonate, totals.calcium * 1e-3)
    return ph, replace(totals, carbon=carbon)


def ph_at_carbon_dioxide(totals: Totals, *, water_c: float, pressure_atm: float) -> float:
    """Return the pH of a water in balance with carbon dioxide at a pressure. [-].

    The carbon of `totals` plays no part; the rest stays.

    Parameters
    ----------
    water_c
        [°C], 0..35
    pressure_atm
        [atm], 1e-6..1

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.
    """
    check("pressure_atm", pressure_atm, 1e-6, 1.0)
    constants = constants_at(water_c)
    medium = medium_of(totals, constants)
    calcium = totals.calcium * 1e-3
    dissolved = _dissolved(medium, pressure_atm)

    def excess(ph: float) -> float:
        frame = frame_at(medium, ph)
        return (
            carbonate_alkalinity(frame, dissolved / frame.co2_ratio, calcium)
            + other_alkalinity(totals, frame)
            - totals.alkalinity * 1e-3
        )

    return _rising_root(excess)


def _dissolved(medium: Medium[float], pressure_atm: float) -> float:
    """Return the dissolved carbon dioxide [mol/L] by Henry's law."""
    return medium.constants.kh * pressure_atm / medium.activities.neutral


def _rising_root(excess: Callable[[float], float]) -> float:
    """Return the pH at which a rising function crosses zero, by secants kept in a bracket."""
    low, high = LOWEST_PH, HIGHEST_PH
    before, value_before = _FIRST_PH, excess(_FIRST_PH)
    ph = before - _FIRST_STEP if value_before > 0.0 else before + _FIRST_STEP
    for _ in range(_ITERATIONS):
        value = excess(ph)
        if value > 0.0:
            high = ph
        else:
            low = ph
        rise = value - value_before
        following = ph - value * (ph - before) / rise if rise else ph
        if not low <= following <= high:
            following = 0.5 * (low + high)
        if abs(following - ph) <= _PH_PRECISION:
            break
        before, value_before, ph = ph, value, following
    if min(ph - LOWEST_PH, HIGHEST_PH - ph) < _EDGE:
        raise OutOfRangeError("ph", ph, LOWEST_PH, HIGHEST_PH)
    return ph
