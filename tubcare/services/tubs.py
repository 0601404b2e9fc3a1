"""Tubs: adding one, changing its profile, opening and closing its season."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.model import TubState
from tubcare.care.profile import checked_profile, profile_from_data, profile_to_data
from tubcare.errors import InputError, NotFoundError, RuleError
from tubcare.services import fields
from tubcare.services.household import checked_zone
from tubcare.services.moments import happened_at
from tubcare.services.topics import Topic
from tubcare.store.tables import PowerPlanRow, StateChangeRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import TubId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection, Row

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubProfile

TUB_TOPICS = frozenset({Topic.TUBS, Topic.UPKEEP, Topic.TASKS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Tub:
    """A tub with its profile and the state that it is in."""

    id: TubId
    name: str
    zone: str
    profile: TubProfile
    state: TubState | None
    since: date | None


def tubs(desk: Desk) -> tuple[Tub, ...]:
    """Return every tub of the logbook."""
    table = table_of(TubRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).order_by(table.c.id)).all()
        return tuple(_tub(connection, row.id, row.name, row.zone, row.profile) for row in rows)


def insert_tub(unit: Unit, profile: TubProfile, today: date) -> TubId:
    """Add a tub inside a running use case.

    Raises
    ------
    InputError
        When another tub has that name.
    """
    checked = checked_profile(profile)
    name = _free_name(unit.connection, checked.name)
    return TubId(
        unit.add(
            TubRow,
            name=name,
            zone=checked_zone(checked.zone),
            profile=profile_to_data(checked),
            added_on=today,
        )
    )


def change_profile(desk: Desk, tub: TubId, profile: TubProfile) -> None:
    """Keep a tub's profile as given; its plan stays until it is drawn anew.

    Raises
    ------
    InputError, OutOfRangeError
        For a profile that cannot be right, or a name that another tub has.
    """
    checked = checked_profile(profile)
    with desk.write("change_profile", checked.name, TUB_TOPICS) as unit:
        unit.change(
            TubRow,
            tub,
            name=_free_name(unit.connection, checked.name, but=tub),
            zone=checked_zone(checked.zone),
            profile=profile_to_data(checked),
        )
        if _has_power_plan(unit.connection, tub):
            # Brings numpy, which a tub without weather and build of its own does without.
            from tubcare.services.power_follow import follow_change  # noqa: PLC0415

            follow_change(unit, desk, tub)


def enter_state(desk: Desk, tub: TubId, state: TubState, on: date, note: str = "") -> None:
    """Write down that a tub entered a state, such as open or closed.

    Raises
    ------
    RuleError
        When the tub is in that state already, or a later change is on record.
    InputError
        When the day is yet to come.
    NotFoundError
        When the tub is gone.
    """
    label = {TubState.OPEN: "open_season", TubState.CLOSED: "close_season"}.get(state, "set_state")
    name, zone = _name_and_zone(desk, tub)
    day, _at = happened_at(desk, zone, on)
    with desk.write(label, name, TUB_TOPICS) as unit:
        last = last_state(unit.connection, tub)
        if last is not None and last.on_date > day:
            raise RuleError(f"a later change of {last.on_date} is on record; correct that first")
        if last is not None and last.state == state.value:
            raise RuleError(
                f"the tub has been {state.value.replace('_', ' ')} since {last.on_date}"
            )
        insert_state(unit, tub, state, day, note)


def insert_state(unit: Unit, tub: TubId, state: TubState, on: date, note: str = "") -> None:
    """Write a change of state down inside a running use case."""
    unit.add(
        StateChangeRow,
        tub_id=tub,
        on_date=fields.day("date", on),
        state=state.value,
        note=fields.note_text(note),
    )


def last_state(connection: Connection, tub: TubId) -> Row[*tuple[Any, ...]] | None:
    """Return the newest change of state (`state`, `on_date`), None before any."""
    table = table_of(StateChangeRow)
    return connection.execute(
        select(table.c.state, table.c.on_date)
        .where(table.c.tub_id == tub)
        .order_by(table.c.on_date.desc(), table.c.id.desc())
        .limit(1)
    ).first()


def _tub(
    connection: Connection, tub: int, name: str, zone: str, profile: dict[str, object]
) -> Tub:
    last = last_state(connection, TubId(tub))
    return Tub(
        id=TubId(tub),
        name=name,
        zone=zone,
        profile=profile_from_data(profile),
        state=None if last is None else TubState(last.state),
        since=None if last is None else last.on_date,
    )


def _free_name(connection: Connection, name: str, *, but: TubId | None = None) -> str:
    """Return the name trimmed, when no other tub has it."""
    table = table_of(TubRow)
    wanted = fields.required_name("name", name)
    taken = connection.execute(select(table.c.name).where(table.c.id != (but or 0))).scalars()
    # As names are looked up: without regard to case, which the databases do in ways of their own.
    if wanted.casefold() in {name.casefold() for name in taken}:
        raise InputError("name", f"there is a tub named “{wanted}” already; choose another name")
    return wanted


def _name_and_zone(desk: Desk, tub: TubId) -> tuple[str, str]:
    table = table_of(TubRow)
    with desk.read() as connection:
        row = connection.execute(
            select(table.c.name, table.c.zone).where(table.c.id == tub)
        ).first()
    if row is None:
        raise NotFoundError("tub", tub)
    return row.name, row.zone


def _has_power_plan(connection: Connection, tub: TubId) -> bool:
    table = table_of(PowerPlanRow)
    return connection.execute(select(table.c.id).where(table.c.tub_id == tub)).first() is not None
