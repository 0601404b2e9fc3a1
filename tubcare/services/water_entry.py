"""Writing down a test of the water as the kit shows it: units, strips, warm samples, doubts."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import InputError
from tubcare.services import fields
from tubcare.services.fills import Fill, insert_fill
from tubcare.services.household import ensure_person
from tubcare.services.measures import QUANTITY_BOUNDS, TubPlace, tub_named
from tubcare.services.moments import happened_at, moment_of
from tubcare.services.topics import Topic
from tubcare.services.upkeep_model import UPKEEP_TOPICS
from tubcare.services.water_kit import kit_in
from tubcare.services.water_samples import ground_in
from tubcare.services.water_tested import tick_tests
from tubcare.store.tables import FillRow, ReadingRow
from tubcare.store.unit import table_of
from tubcare.water.judged import Sighting
from tubcare.water.kit import USUAL_STEPS
from tubcare.water.sample import at_tub_temperature
from tubcare.water.strips import Band, band_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime, time

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.water_samples import Ground
    from tubcare.store.unit import Unit
    from tubcare.values import TubId
    from tubcare.water.kit import Kit

ENTRY_TOPICS = frozenset({Topic.MEASURES, *UPKEEP_TOPICS})
TOP_UP = "top_up_l"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A test as the person read it.

    Attributes
    ----------
    values
        By name in the logbook, in the units of the kit; observations as 0, 1, 2 …
    colours
        Which colour of its pad a strip matched, by name; 0 is the first.
    on, at
        Local day and time; None for now, and for noon of an earlier day.
    """

    values: Mapping[str, float] = field(default_factory=dict)
    colours: Mapping[str, int] = field(default_factory=dict)
    on: date | None = None
    at: time | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntrySheet:
    """What the entry of a test shows: the kit and the value before of each field.

    `touched_at` is when something was last added: after it a value may well have jumped.
    """

    tub: TubPlace
    kit: Kit
    last: Mapping[str, Sighting]
    touched_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """What was written down.

    `ph_as_read` is set where a warm sample was carried to the tub; `ticked` holds the titles of
    the tasks that the test was the work of.
    """

    tub: TubPlace
    at: datetime
    on: date
    values: Mapping[str, Sighting]
    ph_as_read: float | None
    ticked: tuple[str, ...] = ()


def entry_sheet(desk: Desk, tub: TubId | str | None = None) -> EntrySheet:
    """Return what the entry of a test shows."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        ground = ground_in(connection, place.id, desk.now())
        last = dict(ground.sightings)
        topped = _last_top_up(connection, place.id)
        if topped is not None:
            last[TOP_UP] = topped
        return EntrySheet(
            tub=place,
            kit=kit_in(connection, place.id),
            last=last,
            touched_at=ground.season.touched_at,
        )


def add_test(desk: Desk, tub: TubId | str | None, entry: Entry) -> Entered:
    """Write down a test, in one transaction with the water topped up and the tasks it ticks off.

    Raises
    ------
    InputError
        When nothing was read, or a colour is none of its pad.
    OutOfRangeError
        When a value cannot be right at all.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    with desk.write("add_reading", place.name, ENTRY_TOPICS) as unit:
        entered = insert_test(desk, unit, place, entry)
        ticked = tick_tests(desk, unit, place.id, entered.values, entered.on)
        return replace(entered, ticked=ticked)


def insert_test(desk: Desk, unit: Unit, place: TubPlace, entry: Entry) -> Entered:
    """Write down a test inside a running use case; raises like `add_test`."""
    day, _at = happened_at(desk, place.zone, entry.on)
    at = moment_of(desk, place.zone, entry.on, entry.at)
    values = values_inside(kit_in(unit.connection, place.id), entry, at)
    if not values:
        raise InputError("reading", "write at least one value")
    ph_as_read = _carry_to_tub(ground_in(unit.connection, place.id, at), values, at)
    _write(unit, place, values, (day, at), desk.actor, entry.note)
    return Entered(tub=place, at=at, on=day, values=values, ph_as_read=ph_as_read)


def check_value(kit: Kit, name: str, value: float) -> None:
    """Raise `InputError` or `OutOfRangeError` for a value of the kit that cannot be right."""
    fields.quantity(name, kit.inside(name, value), *_bounds(name))


def _write(
    unit: Unit,
    place: TubPlace,
    values: Mapping[str, Sighting],
    when: tuple[date, datetime],
    actor: str,
    note: str,
) -> None:
    day, at = when
    who = ensure_person(unit, actor)
    for name, seen in values.items():
        if name == TOP_UP:
            if seen.value > 0:
                fill = Fill(litres=seen.value, kind="top_up", on=day, at=at)
                insert_fill(unit, place.id, fill)
            continue
        unit.add(
            ReadingRow,
            tub_id=place.id,
            quantity=name,
            value=seen.value,
            low=None if seen.band is None else seen.band.low,
            high=None if seen.band is None else seen.band.high,
            on_date=day,
            at=at,
            person_id=who,
            note=fields.note_text(note),
        )


def values_inside(kit: Kit, entry: Entry, at: datetime) -> dict[str, Sighting]:
    """Return what was read in mg/L and °C, checked against what there can be."""
    found: dict[str, Sighting] = {}
    for name, value in entry.values.items():
        bounds = _bounds(name)
        inside = kit.inside(name, value)
        fields.quantity(name, inside, *bounds)
        found[name] = Sighting(value=inside, at=at)
    for name, colour in entry.colours.items():
        bounds = _bounds(name)
        steps = strip_steps(kit, name)
        if not 0 <= colour < len(steps):
            raise InputError(name, f"its pad has {len(steps)} colours")
        shown = band_of(steps, colour)
        band = Band(low=kit.inside(name, shown.low), high=kit.inside(name, shown.high))
        fields.quantity(name, band.high, *bounds)
        found[name] = Sighting(value=band.middle, at=at, band=band)
    return found


def strip_steps(kit: Kit, name: str) -> tuple[float, ...]:
    """Return the steps of a pad in the unit of the kit: the person's own, else the usual ones."""
    own = kit.strips.get(name)
    if own is not None:
        return own
    return tuple(kit.shown(name, step) for step in USUAL_STEPS.get(name, ()))


def _bounds(name: str) -> tuple[float, float]:
    bounds = QUANTITY_BOUNDS.get(name)
    if bounds is None:
        known = ", ".join(sorted(QUANTITY_BOUNDS))
        raise InputError("quantity", f"“{name}” is not known; choose from {known}")
    return bounds


def _carry_to_tub(ground: Ground, values: dict[str, Sighting], at: datetime) -> float | None:
    """Turn the pH of a warm sample into that of the tub; return what was read, None without."""
    sample, ph = values.get("sample_c"), values.get("ph")
    if sample is None or ph is None:
        return None
    water = values.get("water_c")
    water_c = ground.water_c if water is None else min(max(water.value, 0.0), 35.0)
    found = replace(ground, sightings={**ground.sightings, **values}, water_c=water_c).completed()
    if found is None:
        return None
    sample_c = min(sample.value, 35.0)

    def carried(read: float) -> float:
        test = replace(found.middle, ph=read)
        return round(at_tub_temperature(test, sample_c=sample_c).ph, 2)

    band = None
    if ph.band is not None:
        band = Band(low=carried(ph.band.low), high=carried(ph.band.high))
    values["ph_as_read"] = Sighting(value=ph.value, at=at)
    values["ph"] = Sighting(value=carried(ph.value), at=at, band=band)
    return ph.value


def _last_top_up(connection: Connection, tub: TubId) -> Sighting | None:
    table = table_of(FillRow)
    row = connection.execute(
        select(table.c.litres, table.c.at)
        .where(table.c.tub_id == tub, table.c.kind == "top_up")
        .order_by(table.c.at.desc())
        .limit(1)
    ).first()
    return None if row is None else Sighting(value=row.litres, at=row.at)
