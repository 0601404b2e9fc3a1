"""Units of wind and sunshine in a weather table: as its names say, never guessed where unclear."""

from __future__ import annotations

import math
import re
from enum import StrEnum
from statistics import fmean
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from tubcare.energy.table_text import Table

U = TypeVar("U", bound=StrEnum)


class WindUnit(StrEnum):
    """Unit of a wind speed; LEAVE_OUT: the column is not used."""

    M_S = "m_s"
    KM_H = "km_h"
    MPH = "mph"
    KNOTS = "knots"
    LEAVE_OUT = "leave_out"


class SunUnit(StrEnum):
    """Unit of global sunshine, a power or a sum over the row; LEAVE_OUT: it is not used."""

    W_M2 = "w_m2"
    WH_M2 = "wh_m2"
    KWH_M2 = "kwh_m2"
    KJ_M2 = "kj_m2"
    MJ_M2 = "mj_m2"
    J_CM2 = "j_cm2"
    LEAVE_OUT = "leave_out"


# Exact by definition: the international mile 1609.344 m, the nautical mile 1852 m.
_M_S = {
    WindUnit.M_S: 1.0,
    WindUnit.KM_H: 1.0 / 3.6,
    WindUnit.MPH: 1609.344 / 3600.0,
    WindUnit.KNOTS: 1852.0 / 3600.0,
}
_J_M2 = {
    SunUnit.WH_M2: 3.6e3,
    SunUnit.KWH_M2: 3.6e6,
    SunUnit.KJ_M2: 1e3,
    SunUnit.MJ_M2: 1e6,
    SunUnit.J_CM2: 1e4,
}
_WIND_NAMES = (
    (WindUnit.KM_H, r"km ?/ ?h|kmh|kph|km h"),
    (WindUnit.M_S, r"m ?/ ?s|mps|m s"),
    (WindUnit.MPH, r"mph|mi ?/ ?h"),
    (WindUnit.KNOTS, r"kn|kts?|knots?"),
)
_SUN_NAMES = (
    (SunUnit.KWH_M2, r"kwh ?/? ?(m2|sqm)"),
    (SunUnit.WH_M2, r"wh ?/? ?(m2|sqm)"),
    (SunUnit.W_M2, r"w ?/? ?(m2|sqm)|watts?"),
    (SunUnit.KJ_M2, r"kj ?/? ?(m2|sqm)"),
    (SunUnit.MJ_M2, r"mj ?/? ?(m2|sqm)"),
    (SunUnit.J_CM2, r"j ?/? ?cm2"),
)
# Where no unit is told, metres a second and watts are taken only for values that fit them: no
# place on land has a mean wind over 12 m/s, and the greatest of a series of watts lies between
# the sun of a dull winter's day and 1500 W/m2.
_MOST_MEAN_WIND = 12.0
_SUN_WATTS = (45.0, 1500.0)


def wind_unit(table: Table, name: str) -> WindUnit | None:
    """Return the unit of a wind column, None where neither name nor values make it clear.

    Parameters
    ----------
    table
        As taken apart.
    name
        Of its column.

    Raises
    ------
    InputError
        If there is no such column.

    References
    ----------
    Own choice of words. Fitting values: own choice, see the head of the module.
    """

    def fits(values: list[float]) -> bool:
        return fmean(values) <= _MOST_MEAN_WIND

    return _told_unit(name, _WIND_NAMES) or _usual(table, name, WindUnit.M_S, fits)


def sun_unit(table: Table, name: str) -> SunUnit | None:
    """Return the unit of a sunshine column, None where neither name nor values make it clear.

    Parameters
    ----------
    table
        As taken apart.
    name
        Of its column.

    Raises
    ------
    InputError
        If there is no such column.

    References
    ----------
    Own choice of words. Fitting values: own choice, see the head of the module.
    """

    def fits(values: list[float]) -> bool:
        return _SUN_WATTS[0] <= max(values) <= _SUN_WATTS[1]

    return _told_unit(name, _SUN_NAMES) or _usual(table, name, SunUnit.W_M2, fits)


def wind_factor(unit: WindUnit) -> float:
    """Return what turns a wind speed into metres a second. [m s⁻¹ for each of the unit].

    Parameters
    ----------
    unit
        Any but LEAVE_OUT.

    Raises
    ------
    KeyError
        For LEAVE_OUT.

    References
    ----------
    International mile and nautical mile, by definition.
    """
    return _M_S[unit]


def sun_factor(unit: SunUnit, *, row_s: float) -> float:
    """Return what turns a sunshine figure into mean power. [W m⁻² for each of the unit].

    Parameters
    ----------
    unit
        Any but LEAVE_OUT.
    row_s
        How long a row lasts: an hour or a day. [s], over 0

    Raises
    ------
    KeyError
        For LEAVE_OUT.

    References
    ----------
    SI units, by definition.
    """
    return 1.0 if unit is SunUnit.W_M2 else _J_M2[unit] / row_s


def _told_unit(name: str, names: Sequence[tuple[U, str]]) -> U | None:
    """Return the unit that a column's name tells."""
    told = _told(name)
    return next((unit for unit, words in names if re.search(rf"\b({words})\b", told)), None)


def _usual(table: Table, name: str, unit: U, fits: Callable[[list[float]], bool]) -> U | None:
    """Return the usual unit of a column whose name tells none, where its values fit it."""
    values = _values(table, name)
    return unit if (not values or fits(values)) and not _in_brackets(name) else None


def _told(name: str) -> str:
    """Return a name with its powers and signs written plainly."""
    plain = name.lower().replace("²", "2").replace("^", "").replace("**", "")
    return re.sub(r"[_\-⁻¹·]+", " ", plain)


def _in_brackets(name: str) -> bool:
    """Say whether a name tells something in brackets, which would be its unit."""
    return re.search(r"[(\[]\s*\S+.*[)\]]", name) is not None


def _values(table: Table, name: str) -> list[float]:
    at = table.column(name)
    found = [table.number(row[at]) for row in table.rows if at < len(row)]
    # Figures such as 9999 stand for no reading.
    return [value for value in found if not math.isnan(value) and 0.0 <= value < 9000.0]
