"""Sun, sky and wind on the lid: the sol-air temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.energy.ranges import require, require_all

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = float | NDArray[np.float64]

# ASHRAE Handbook Fundamentals, sol-air temperature (from memory): film 17 W/(m2 K), long-wave
# exchange 63 W/m2 for a face that sees the whole sky.
OUTSIDE_FILM_W_M2K = 17.0
SKY_LOSS_W_M2 = 63.0
EMISSIVITY = 0.9


def sol_air_c(
    *,
    air_c: Values,
    sun_w_m2: Values,
    absorptance: float,
    film_w_m2k: Values = OUTSIDE_FILM_W_M2K,
    sky_loss_w_m2: float = EMISSIVITY * SKY_LOSS_W_M2,
) -> Values:
    """Return the air temperature that would warm the lid as much as air, sun and sky do. [°C].

    Parameters
    ----------
    air_c
        Air temperature. [°C], -60..60
    sun_w_m2
        Global sunshine on the lid. [W m⁻²], 0..1500
    absorptance
        Share of the sun taken up. [-], 0..1
    film_w_m2k
        Film at the lid's outer face. [W m⁻² K⁻¹], 1..400
    sky_loss_w_m2
        What the lid radiates to the sky. [W m⁻²], 0..200

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    ASHRAE Handbook Fundamentals, ch. 18, sol-air temperature: T = T_a + alpha I/h_o - eps dR/h_o.
    """
    require_all("air_c", air_c, -60.0, 60.0)
    require_all("sun_w_m2", sun_w_m2, 0.0, 1500.0)
    require("absorptance", absorptance, 0.0, 1.0)
    require_all("film_w_m2k", film_w_m2k, 1.0, 400.0)
    require("sky_loss_w_m2", sky_loss_w_m2, 0.0, 200.0)
    return air_c + (absorptance * sun_w_m2 - sky_loss_w_m2) / film_w_m2k
