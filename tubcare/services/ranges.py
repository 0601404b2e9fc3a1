"""The ranges in which a tub's water should lie: the book's, and what a person changed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.model import Range as CareRange
from tubcare.care.profile import profile_from_data
from tubcare.errors import InputError, NotFoundError
from tubcare.resource_files import read_text
from tubcare.services import water_statements as ask
from tubcare.services.measures import QUANTITY_BOUNDS, tub_named
from tubcare.services.topics import Topic
from tubcare.store.tables import WaterRangeRow
from tubcare.store.unit import table_of
from tubcare.values import TubId
from tubcare.water.judged import READING_OF
from tubcare.water.ranges import Quantity, edited_range, loosened, parse_ranges

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection, Row

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubProfile
    from tubcare.water.ranges import Loosening, Range, RangeBook

RANGE_TOPICS = frozenset({Topic.TUBS, Topic.UPKEEP, Topic.MEASURES})
# What people see, smell and touch should be as at the first answer. Own choice.
_EDITED = select(table_of(WaterRangeRow))  # Built once: building costs more than the run.
_OBSERVED = ("clarity", "smell", "slime", "foam", "colour")


@dataclass(frozen=True, slots=True, kw_only=True)
class TubRange:
    """The range of one quantity of a tub, and the one that it departs from.

    `loosened` names each end that a person moved outwards.
    """

    limits: Range
    default: Range
    edited: bool
    loosened: tuple[Loosening, ...]


@lru_cache(maxsize=1)
def range_book() -> RangeBook:
    """Return the ranges that belong to the program, read once."""
    return parse_ranges(read_text("water/ranges.toml"))


def ranges_in(connection: Connection, tub: TubId, profile: TubProfile) -> dict[Quantity, TubRange]:
    """Return the range of each quantity of a tub, edited ones in place of the book's."""
    rows = connection.execute(ask.EDITED_RANGES, {"of": tub}).all()
    return _with_edits(profile, {Quantity(row.quantity): row for row in rows})


def care_ranges(
    profile: TubProfile, rows: Mapping[Quantity, Row[tuple[object, ...]]]
) -> dict[str, CareRange]:
    """Return the ranges as reading triggers know them, by the names in the logbook."""
    ranges = {
        READING_OF[quantity]: CareRange(low=found.limits.low, high=found.limits.high)
        for quantity, found in _with_edits(profile, rows).items()
    }
    return ranges | {name: CareRange(low=None, high=0.5) for name in _OBSERVED}


def edited_rows(connection: Connection) -> dict[TubId, dict[Quantity, Row[tuple[object, ...]]]]:
    """Return the ranges that people changed, by tub."""
    found: dict[TubId, dict[Quantity, Row[tuple[object, ...]]]] = {}
    for row in connection.execute(_EDITED):
        found.setdefault(TubId(row.tub_id), {})[Quantity(row.quantity)] = row
    return found


def tub_ranges(desk: Desk, tub: TubId | str | None) -> tuple[TubRange, ...]:
    """Return the ranges of a tub in the order of the book."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        return tuple(ranges_in(connection, place.id, profile_in(connection, place.id)).values())


def edit_range(
    desk: Desk,
    tub: TubId | str | None,
    quantity: Quantity,
    *,
    low: float | None,
    aim: float | None,
    high: float | None,
) -> TubRange:
    """Change a range of one tub; what comes back says which ends were loosened.

    Raises
    ------
    InputError
        When the ends are out of order, or a number cannot be right.
    """
    bounds = QUANTITY_BOUNDS[READING_OF[quantity]]
    for name, value in (("low", low), ("aim", aim), ("high", high)):
        if value is not None and not bounds[0] <= value <= bounds[1]:
            raise InputError(name, f"must lie between {bounds[0]:g} and {bounds[1]:g}")
    with desk.read() as connection:
        place = tub_named(connection, tub)
        profile = profile_in(connection, place.id)
    default = _default(profile, quantity)
    edited_range(default, low=low, aim=aim, high=high)
    values = {"low": low, "aim": aim, "high": high, "changed_on": desk.today(place.zone)}
    with desk.write("edit_range", place.name, RANGE_TOPICS) as unit:
        _put(unit, place.id, quantity, values)
        return ranges_in(unit.connection, place.id, profile)[quantity]


def would_loosen(
    found: TubRange, *, low: float | None, aim: float | None, high: float | None
) -> tuple[Loosening, ...]:
    """Return which ends these numbers would loosen, before they are kept.

    Raises
    ------
    InputError
        When they are out of order.
    """
    edited = edited_range(found.default, low=low, aim=aim, high=high)
    return loosened(found.default, edited)


def reset_range(desk: Desk, tub: TubId | str | None, quantity: Quantity) -> None:
    """Go back to the book's range."""
    table = table_of(WaterRangeRow)
    with desk.read() as connection:
        place = tub_named(connection, tub)
    with desk.write("reset_range", place.name, RANGE_TOPICS) as unit:
        found = unit.connection.execute(
            select(table.c.id).where(
                table.c.tub_id == place.id, table.c.quantity == quantity.value
            )
        ).scalar()
        if found is not None:
            unit.remove(WaterRangeRow, found)


def profile_in(connection: Connection, tub: TubId) -> TubProfile:
    """Return the profile of a tub; raise `NotFoundError` when there is no such tub."""
    data = connection.execute(ask.PROFILE, {"of": tub}).scalar()
    if data is None:
        raise NotFoundError("tub", tub)
    return profile_from_data(data)


def _default(profile: TubProfile, quantity: Quantity) -> Range:
    found = range_book().of(profile.sanitiser, profile.liner).get(quantity)
    if found is None:
        raise InputError("quantity", f"this tub has no range for {quantity.value}")
    return found


def _put(unit: Unit, tub: TubId, quantity: Quantity, values: Mapping[str, object]) -> None:
    table = table_of(WaterRangeRow)
    found = unit.connection.execute(
        select(table.c.id).where(table.c.tub_id == tub, table.c.quantity == quantity.value)
    ).scalar()
    if found is None:
        unit.add(WaterRangeRow, tub_id=tub, quantity=quantity.value, **values)
    else:
        unit.change(WaterRangeRow, found, **values)


def _with_edits(
    profile: TubProfile, rows: Mapping[Quantity, Row[tuple[object, ...]]]
) -> dict[Quantity, TubRange]:
    found = {}
    for quantity, default in range_book().of(profile.sanitiser, profile.liner).items():
        row = rows.get(quantity)
        limits = default
        if row is not None:
            limits = edited_range(default, low=row.low, aim=row.aim, high=row.high)
        found[quantity] = TubRange(
            limits=limits,
            default=default,
            edited=row is not None,
            loosened=loosened(default, limits),
        )
    return found
