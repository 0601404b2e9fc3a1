"""Sun, sky and wind on the lid: the sol-air temperature."""

from __future__ import annotations

from dataclasses import dataclass

from tubcare.energy.ranges import require

# ASHRAE Handbook Fundamentals, sol-air temperature (from memory): film 17 W/(m2 K), long-wave
# exchange 63 W/m2 for a face that sees the whole sky.
OUTSIDE_FILM_W_M2K = 17.0
SKY_LOSS_W_M2 = 63.0
EMISSIVITY = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyExchange:
    """Film at the lid's outer face [W m⁻² K⁻¹] and what it radiates to the sky [W m⁻²]."""

    film_w_m2k: float = OUTSIDE_FILM_W_M2K
    sky_loss_w_m2: float = EMISSIVITY * SKY_LOSS_W_M2

    def __post_init__(self) -> None:
        require("film_w_m2k", self.film_w_m2k, 1.0, 200.0)
        require("sky_loss_w_m2", self.sky_loss_w_m2, 0.0, 200.0)


def sol_air_c(
    *, air_c: float, sun_w_m2: float, absorptance: float, exchange: SkyExchange
) -> float:
    """Return the air temperature that would warm the lid as much as air, sun and sky do. [°C].

    Parameters
    ----------
    air_c
        Air temperature. [°C], -60..60
    sun_w_m2
        Global sunshine on the lid. [W m⁻²], 0..1500
    absorptance
        Share of the sun taken up. [-], 0..1
    exchange
        Outer film and sky.

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    ASHRAE Handbook Fundamentals, ch. 18, sol-air temperature: T = T_a + alpha I/h_o - eps dR/h_o.
    """
    require("air_c", air_c, -60.0, 60.0)
    require("sun_w_m2", sun_w_m2, 0.0, 1500.0)
    require("absorptance", absorptance, 0.0, 1.0)
    return air_c + (absorptance * sun_w_m2 - exchange.sky_loss_w_m2) / exchange.film_w_m2k


@dataclass(frozen=True, slots=True, kw_only=True)
class LidHeat:
    """Heat through the lid [W], positive into the water, and its outer face [°C]."""

    heat_w: float
    surface_c: float


def lid_heat(
    *,
    sol_air_temperature_c: float,
    water_c: float,
    area_m2: float,
    resistance_m2k_w: float,
    exchange: SkyExchange,
) -> LidHeat:
    """Return the heat that passes the lid.

    Parameters
    ----------
    sol_air_temperature_c, water_c
        Temperatures at both sides. [°C], -100..150
    area_m2
        Area. [m²], 0..50
    resistance_m2k_w
        From the water to the outer face, without the outer film. [m² K W⁻¹], 0.005..20
    exchange
        Outer film.

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    As `sol_air_c`: steady heat flow between sol-air and water temperature.
    """
    require("sol_air_temperature_c", sol_air_temperature_c, -100.0, 150.0)
    require("water_c", water_c, -100.0, 150.0)
    require("area_m2", area_m2, 0.0, 50.0)
    require("resistance_m2k_w", resistance_m2k_w, 0.005, 20.0)
    film = 1.0 / exchange.film_w_m2k
    flux = (sol_air_temperature_c - water_c) / (resistance_m2k_w + film)
    return LidHeat(heat_w=area_m2 * flux, surface_c=sol_air_temperature_c - flux * film)
