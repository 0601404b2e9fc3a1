"""Readings taken over from elsewhere: looked at first, then all of them or none."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from sqlalchemy import select

from tubcare.errors import InputError
from tubcare.services import fields
from tubcare.services.household import ensure_person
from tubcare.services.measures import QUANTITY_BOUNDS, TubPlace, tub_named
from tubcare.services.topics import Topic
from tubcare.services.water_samples import stored_in
from tubcare.store.tables import ReadingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.water_samples import Sample
    from tubcare.values import TubId
    from tubcare.water.strips import Band

IMPORT_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP})
MOST_VALUES: Final = 20_000
_EVER: Final = timedelta(days=365 * 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class IncomingSample:
    """Values read together, in mg/L and °C, with their local day and instant.

    `bands` holds what the colour of a pad stands for, where a strip was read.
    """

    line: int
    on: date
    at: datetime
    values: Mapping[str, float]
    bands: Mapping[str, Band] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFault:
    """Why a line cannot be used; `column` is empty where the whole line is meant."""

    line: int
    column: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportPreview:
    """What taking the samples over would do.

    `new` and `known` count values; known ones are in the logbook already, at the same instant, and
    are left as they are.
    """

    tub: TubPlace
    samples: int
    new: int
    known: int
    span: tuple[date, date] | None
    faults: tuple[LineFault, ...]


def preview_readings(
    desk: Desk, tub: TubId | str | None, incoming: Sequence[IncomingSample]
) -> ImportPreview:
    """Return what taking these samples over would do; nothing is written."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        known = _known(connection, place.id)
    total = sum(len(sample.values) for sample in incoming)
    new = sum(len(_unknown_values(sample, known)) for sample in incoming)
    days = [sample.on for sample in incoming]
    return ImportPreview(
        tub=place,
        samples=len(incoming),
        new=new,
        known=total - new,
        span=(min(days), max(days)) if days else None,
        faults=tuple(_faults(desk, place, incoming)),
    )


def take_readings(
    desk: Desk, tub: TubId | str | None, incoming: Sequence[IncomingSample]
) -> ImportPreview:
    """Take all samples over in one action, or none.

    Raises
    ------
    InputError
        When any value cannot be used, naming the first, or nothing is new.
    """
    found = preview_readings(desk, tub, incoming)
    if found.faults:
        first = found.faults[0]
        more = len(found.faults) - 1
        rest = f"; {more} more" if more else ""
        raise InputError("file", f"line {first.line}: {first.reason}{rest}")
    if not found.new:
        raise InputError("file", "it holds nothing that is not in the logbook already")
    if found.new > MOST_VALUES:
        raise InputError(
            "file", f"it holds {found.new} values; take at most {MOST_VALUES} at once"
        )
    with desk.write("import", f"{found.new} readings", IMPORT_TOPICS) as unit:
        known = _known(unit.connection, found.tub.id)
        who = ensure_person(unit, desk.actor)
        for sample in incoming:
            for name, value in _unknown_values(sample, known).items():
                band = sample.bands.get(name)
                unit.add(
                    ReadingRow,
                    tub_id=found.tub.id,
                    quantity=name,
                    value=value,
                    low=None if band is None else band.low,
                    high=None if band is None else band.high,
                    on_date=sample.on,
                    at=sample.at,
                    person_id=who,
                    note=fields.note_text(sample.note),
                )
    return found


def all_samples(desk: Desk, tub: TubId | str | None = None) -> tuple[TubPlace, tuple[Sample, ...]]:
    """Return everything that was ever read in a tub, oldest first."""
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        found = stored_in(connection, place.id, since=now - _EVER, until=now)
    return place, tuple(reversed(found))


def _faults(desk: Desk, place: TubPlace, incoming: Sequence[IncomingSample]) -> list[LineFault]:
    today, now = desk.today(place.zone), desk.now()
    found = []
    for sample in incoming:
        if sample.on > today or sample.at > now:
            found.append(LineFault(line=sample.line, column="", reason="it is yet to come"))
        for name, value in sample.values.items():
            bounds = QUANTITY_BOUNDS.get(name)
            if bounds is None:
                reason = f"“{name}” is nothing that is measured"
                found.append(LineFault(line=sample.line, column=name, reason=reason))
            elif not bounds[0] <= value <= bounds[1]:
                reason = f"{name} {value:g} lies outside {bounds[0]:g} to {bounds[1]:g}"
                found.append(LineFault(line=sample.line, column=name, reason=reason))
            elif name in sample.bands and not _holds(sample.bands[name], value, bounds):
                reason = f"the band of {name} does not hold its value, or goes beyond what can be"
                found.append(LineFault(line=sample.line, column=name, reason=reason))
    return found


def _holds(band: Band, value: float, bounds: tuple[float, float]) -> bool:
    return bounds[0] <= band.low <= value <= band.high <= bounds[1]


def _known(connection: Connection, tub: TubId) -> set[tuple[str, datetime]]:
    table = table_of(ReadingRow)
    rows = connection.execute(select(table.c.quantity, table.c.at).where(table.c.tub_id == tub))
    return {(row.quantity, row.at) for row in rows}


def _unknown_values(sample: IncomingSample, known: set[tuple[str, datetime]]) -> dict[str, float]:
    return {n: value for n, value in sample.values.items() if (n, sample.at) not in known}
