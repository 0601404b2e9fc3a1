"""The logbook itself and its people."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sqlalchemy import bindparam, select

from tubcare.errors import InputError, NotFoundError
from tubcare.ledger.currency import currency
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.fields import required_name
from tubcare.services.topics import Topic
from tubcare.store.tables import PersonRow, SettingRow
from tubcare.store.unit import table_of
from tubcare.values import PersonId

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit

CURRENCY = "currency"
POWER_PRICE = "power_price_per_kwh"
WATER_PRICE = "water_price_per_m3"
MAX_SETTING = 500
MINUTES_A_DAY = 24 * 60

_PERSON = table_of(PersonRow)
_PERSON_NAMED = select(_PERSON.c.id).where(_PERSON.c.name == bindparam("named"))


class Weekends(StrEnum):
    """What happens to reminders on Saturdays and Sundays."""

    AS_USUAL = "as_usual"
    LATER = "later"
    SILENT = "silent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who keeps or uses the tub. Times of day are minutes after local midnight."""

    id: PersonId
    name: str
    active: bool
    digest_minute: int
    quiet_from_minute: int
    quiet_to_minute: int
    weekends: Weekends


def is_started(desk: Desk) -> bool:
    """Return whether the logbook knows its currency, so that work can begin."""
    with desk.read() as connection:
        return setting(connection, CURRENCY) is not None


def start_logbook(desk: Desk, *, currency_code: str, home_zone: str, person: str) -> None:
    """Set up a new logbook.

    Raises
    ------
    InputError
        For an unknown currency or time zone, or an empty name.
    """
    code = currency(currency_code).code
    zone = checked_zone(home_zone)
    name = required_name("person", person)
    with desk.write("start_logbook", name, frozenset({Topic.SETTINGS, Topic.PEOPLE})) as unit:
        put_setting(unit, CURRENCY, code)
        put_setting(unit, HOME_ZONE, zone)
        ensure_person(unit, name)


def change_setting(desk: Desk, name: str, value: str) -> None:
    """Change one setting of the logbook, such as the price of power.

    Raises
    ------
    InputError
        When it is longer than a setting can be.
    """
    if len(value) > MAX_SETTING:
        raise InputError(name, f"use at most {MAX_SETTING} characters; this has {len(value)}")
    with desk.write("change_setting", name, frozenset({Topic.SETTINGS, Topic.MONEY})) as unit:
        put_setting(unit, name, value)


def home_zone(desk: Desk) -> str:
    """Return the time zone that headings and mornings go by."""
    with desk.read() as connection:
        return setting(connection, HOME_ZONE) or "UTC"


def change_home_zone(desk: Desk, zone: str) -> None:
    """Let headings and mornings go by another time zone; raise `InputError` for an unknown one."""
    change_setting(desk, HOME_ZONE, checked_zone(zone))


def put_setting(unit: Unit, name: str, value: str) -> None:
    """Write a setting inside a running use case."""
    table = table_of(SettingRow)
    found = unit.connection.execute(select(table.c.id).where(table.c.name == name)).scalar()
    if found is None:
        unit.add(SettingRow, name=name, value=value)
    else:
        unit.change(SettingRow, found, value=value)


def checked_zone(name: str) -> str:
    """Return the time zone's name; raise `InputError` when nobody knows it."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise InputError(
            "zone", f"“{name}” is not a time zone; write it like Europe/Helsinki"
        ) from error
    return name


def people(desk: Desk) -> tuple[Person, ...]:
    """Return everybody in the logbook, by name."""
    table = table_of(PersonRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).order_by(table.c.name)).all()
    return tuple(
        Person(
            id=PersonId(row.id),
            name=row.name,
            active=row.active,
            digest_minute=row.digest_minute,
            quiet_from_minute=row.quiet_from_minute,
            quiet_to_minute=row.quiet_to_minute,
            weekends=Weekends(row.weekends),
        )
        for row in rows
    )


def change_person(desk: Desk, person: Person) -> None:
    """Keep a person's hours as given.

    Raises
    ------
    InputError
        When a time of day lies outside the day, or somebody else has that name.
    """
    name = required_name("person", person.name)
    minutes = (person.digest_minute, person.quiet_from_minute, person.quiet_to_minute)
    if any(not 0 <= minute < MINUTES_A_DAY for minute in minutes):
        raise InputError("time of day", "write a time between 00:00 and 23:59")
    with desk.write("change_person", person.name, frozenset({Topic.PEOPLE})) as unit:
        known = find_person(unit.connection, name)
        if known is not None and known != person.id:
            raise InputError("person", f"there is a “{name}” already; choose another name")
        unit.change(
            PersonRow,
            person.id,
            name=name,
            active=person.active,
            digest_minute=person.digest_minute,
            quiet_from_minute=person.quiet_from_minute,
            quiet_to_minute=person.quiet_to_minute,
            weekends=person.weekends.value,
        )


def ensure_person(unit: Unit, name: str) -> PersonId:
    """Return the person of that name, adding them when they are new."""
    kept = required_name("person", name)
    found = find_person(unit.connection, kept)
    return PersonId(unit.add(PersonRow, name=kept)) if found is None else found


def find_person(connection: Connection, name: str) -> PersonId | None:
    """Return the person of that name, None when there is none."""
    found = connection.execute(_PERSON_NAMED, {"named": name}).scalar()
    return None if found is None else PersonId(found)


def logbook_currency(connection: Connection) -> str:
    """Return the currency code; raise `NotFoundError` when the logbook is not set up."""
    code = setting(connection, CURRENCY)
    if code is None:
        raise NotFoundError("currency", "setting")
    return code
