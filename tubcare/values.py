"""Value types that every part shares: identities and the tub's profile."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

TubId = NewType("TubId", int)
TaskId = NewType("TaskId", int)
PersonId = NewType("PersonId", int)
SupplyId = NewType("SupplyId", int)
CompletionId = NewType("CompletionId", int)
EntryId = NewType("EntryId", int)


class Shape(StrEnum):
    """Outline of the water body."""

    BOX = "box"
    CYLINDER = "cylinder"
    OTHER = "other"


class Liner(StrEnum):
    """Material that touches the water."""

    ALUMINIUM = "aluminium"
    STAINLESS_STEEL = "stainless_steel"
    HDPE_PP = "hdpe_pp"
    ACRYLIC = "acrylic"
    GRP = "grp"
    PVC = "pvc"
    WOOD = "wood"


class Cladding(StrEnum):
    """Material around the tub."""

    NONE = "none"
    SOFTWOOD = "softwood"
    DURABLE_WOOD = "durable_wood"
    COMPOSITE = "composite"


class Sanitiser(StrEnum):
    """What keeps the water disinfected."""

    CHLORINE = "chlorine"
    BROMINE = "bromine"
    HYDROGEN_PEROXIDE = "hydrogen_peroxide"
    OZONE = "ozone"
    UV = "uv"
    FREQUENT_CHANGE = "frequent_change"


class FilterKind(StrEnum):
    """Kind of filter in the circulation."""

    NONE = "none"
    CARTRIDGE = "cartridge"
    BAG = "bag"
    SAND = "sand"


class LidKind(StrEnum):
    """Kind of cover."""

    NONE = "none"
    SOFT = "soft"
    INSULATED = "insulated"
    WOOD = "wood"


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthDay:
    """A day of the year without a year; 29 February falls on the 28th in short years."""

    month: int
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TubProfile:
    """What a tub is: the description from which the care plan is drawn.

    Lengths in metres, volume in litres, power in watts, temperatures in degrees Celsius;
    `latitude_deg` is positive in the north. `season_opens` and `season_closes` are planned; they
    may wrap over New Year.
    """

    name: str
    shape: Shape = Shape.BOX
    length_m: float | None = None
    width_m: float | None = None
    depth_m: float | None = None
    volume_l: float = 400.0
    liner: Liner = Liner.HDPE_PP
    cladding: Cladding = Cladding.NONE
    sanitiser: Sanitiser = Sanitiser.CHLORINE
    has_ozone: bool = False
    has_uv: bool = False
    chiller_w: float = 0.0
    pump_w: float = 0.0
    filter_kind: FilterKind = FilterKind.CARTRIDGE
    lid: LidKind = LidKind.INSULATED
    zone: str = "UTC"
    latitude_deg: float | None = None
    season_opens: MonthDay = MonthDay(month=4, day=15)
    season_closes: MonthDay = MonthDay(month=10, day=31)
    set_point_c: float = 6.0
    people: int = 2
