"""A tub's faces and the leaks through them: what separates the water from the weather."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.construction import (
    INSIDE_DOWNWARDS_M2K_W,
    OUTSIDE_SHELTERED_M2K_W,
    u_value_w_m2k,
)
from tubcare.energy.ranges import require

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from tubcare.energy.construction import Layer

    Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Areas of a tub. [m²], 0..200."""

    wall_m2: float
    bottom_m2: float
    lid_m2: float

    def __post_init__(self) -> None:
        require("wall_m2", self.wall_m2, 0.0, 200.0)
        require("bottom_m2", self.bottom_m2, 0.0, 200.0)
        require("lid_m2", self.lid_m2, 0.0, 200.0)


def box_faces(*, length_m: float, width_m: float, height_m: float) -> Faces:
    """Return the faces of a box, with each side 0.1..10 m.

    Parameters
    ----------
    length_m, width_m, height_m
        Sides of the water. [m], 0.1..10

    Raises
    ------
    OutOfRangeError
        If a side lies outside its range.

    References
    ----------
    Plain geometry; areas in [m²].
    """
    for name, side in (("length_m", length_m), ("width_m", width_m), ("height_m", height_m)):
        require(name, side, 0.1, 10.0)
    floor_m2 = length_m * width_m
    return Faces(
        wall_m2=2.0 * (length_m + width_m) * height_m, bottom_m2=floor_m2, lid_m2=floor_m2
    )


def round_faces(*, diameter_m: float, height_m: float) -> Faces:
    """Return the faces of an upright cylinder, diameter and height 0.1..10 m.

    Parameters
    ----------
    diameter_m, height_m
        Of the water. [m], 0.1..10

    Raises
    ------
    OutOfRangeError
        If one lies outside its range.

    References
    ----------
    Plain geometry; areas in [m²].
    """
    require("diameter_m", diameter_m, 0.1, 10.0)
    require("height_m", height_m, 0.1, 10.0)
    floor_m2 = math.pi * diameter_m**2 / 4.0
    return Faces(wall_m2=math.pi * diameter_m * height_m, bottom_m2=floor_m2, lid_m2=floor_m2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """What separates the water from the weather.

    Parameters
    ----------
    body_ua_w_k
        Walls, bottom and thermal bridges together. [W K⁻¹], 0..500
    lid_m2
        Area of the lid, which is also the open surface when it is off. [m²], 0..50
    lid_resistance_m2k_w
        Of the lid from the water to its outer face, without the outer film. [m² K W⁻¹], 0.005..20
    lid_absorptance
        Share of the sun that the lid takes up. [-], 0..1; white 0.25, wood 0.55, dark 0.9 (from
        memory)
    shading
        Share of the sun that never reaches the lid. [-], 0..1
    """

    body_ua_w_k: float
    lid_m2: float
    lid_resistance_m2k_w: float
    lid_absorptance: float = 0.6
    shading: float = 0.0

    def __post_init__(self) -> None:
        require("body_ua_w_k", self.body_ua_w_k, 0.0, 500.0)
        require("lid_m2", self.lid_m2, 0.0, 50.0)
        require("lid_resistance_m2k_w", self.lid_resistance_m2k_w, 0.005, 20.0)
        require("lid_absorptance", self.lid_absorptance, 0.0, 1.0)
        require("shading", self.shading, 0.0, 1.0)

    def ua_w_k(self, *, outside_m2k_w: float = OUTSIDE_SHELTERED_M2K_W) -> float:
        """Return the whole leak with the lid on. [W K⁻¹]."""
        require("outside_m2k_w", outside_m2k_w, 0.0, 1.0)
        return self.body_ua_w_k + self.lid_m2 / (self.lid_resistance_m2k_w + outside_m2k_w)

    def lid_ua_w_k(self, film_w_m2k: Hours) -> Hours:
        """Return the leak through the lid under each outer film [W m⁻² K⁻¹]. [W K⁻¹]; (hours,)."""
        return self.lid_m2 / (self.lid_resistance_m2k_w + 1.0 / film_w_m2k)


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """A tub described by its layers.

    Parameters
    ----------
    faces
        Areas.
    wall, bottom, lid
        Layers from the water outwards.
    bridges_w_k
        Leak through hoses, fittings and rims. [W K⁻¹], 0..50
    outside_m2k_w
        Outer film at walls and bottom. [m² K W⁻¹], 0..1
    lid_inside_m2k_w
        Film under the lid, where an air gap stands over the water. [m² K W⁻¹], 0..1
    """

    faces: Faces
    wall: tuple[Layer, ...]
    bottom: tuple[Layer, ...]
    lid: tuple[Layer, ...]
    bridges_w_k: float = 1.0
    outside_m2k_w: float = OUTSIDE_SHELTERED_M2K_W
    lid_inside_m2k_w: float = INSIDE_DOWNWARDS_M2K_W

    def __post_init__(self) -> None:
        require("bridges_w_k", self.bridges_w_k, 0.0, 50.0)

    def envelope(self, *, lid_absorptance: float = 0.6, shading: float = 0.0) -> Envelope:
        """Return the leaks of this build."""
        wall_u = u_value_w_m2k(self.wall, outside_m2k_w=self.outside_m2k_w)
        bottom_u = u_value_w_m2k(self.bottom, outside_m2k_w=self.outside_m2k_w)
        body = wall_u * self.faces.wall_m2 + bottom_u * self.faces.bottom_m2 + self.bridges_w_k
        lid = self.lid_inside_m2k_w + sum(part.resistance_m2k_w for part in self.lid)
        return Envelope(
            body_ua_w_k=body,
            lid_m2=self.faces.lid_m2,
            lid_resistance_m2k_w=lid,
            lid_absorptance=lid_absorptance,
            shading=shading,
        )
