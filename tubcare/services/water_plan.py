"""The dosing plan of a tub: numbered steps from the newest test, and which of them are done."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from tubcare.errors import InputError
from tubcare.ledger.currency import currency
from tubcare.services.fills import logbook_price
from tubcare.services.household import WATER_PRICE, logbook_currency
from tubcare.services.measures import tub_named
from tubcare.services.water_kit import kit_in
from tubcare.services.water_plan_model import PlannedStep, PlanState, WaterPlan
from tubcare.services.water_plan_steps import planned_steps
from tubcare.services.water_samples import ground_in
from tubcare.services.water_shelf import measures_in, products_in
from tubcare.store.tables import DoseRow, PersonRow, WaterStepRow
from tubcare.store.unit import table_of
from tubcare.values import LidKind
from tubcare.water.completed import TOGETHER
from tubcare.water.drift import LIDDED_WATER, OPEN_WATER
from tubcare.water.judged import FAST_DAYS, FIELD_OF_READING, READING_OF
from tubcare.water.plan import plan
from tubcare.water.plan_model import FillWater, PlanRequest
from tubcare.water.ranges import Quantity
from tubcare.water.strips import Assumption, Source
from tubcare.water.targets import targets_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy import Connection, Row

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_samples import Ground
    from tubcare.services.water_shelf import ShelfProduct
    from tubcare.values import TubId
    from tubcare.water.completed import Completed
    from tubcare.water.kit import Kit
    from tubcare.water.plan_model import DosingPlan
    from tubcare.water.reading import WaterTest

# A smaller change of a value that nobody read is no news. [mg/L]
_NEWS_MG_L = 0.5


def water_plan(desk: Desk, tub: TubId | str | None = None) -> WaterPlan:
    """Return what to do about the water of a tub."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        return plan_in(connection, place, desk.now())


def plan_in(connection: Connection, place: TubPlace, now: datetime) -> WaterPlan:
    """Return the plan inside a running transaction."""
    ground = ground_in(connection, place.id, now)
    state, found = _ground_state(ground, now)
    kit = kit_in(connection, place.id)
    if found is None:
        return _without_steps(place, kit, state)
    done = _done_steps(connection, place.id, found.at)
    shelf = products_in(connection)
    request = _request(connection, place, ground, found, shelf, done)
    try:
        whole = plan(request)
    except InputError:
        return _without_steps(place, kit, PlanState.CONTRADICTION)
    steps = planned_steps(whole, shelf, done, request.test)
    return WaterPlan(
        tub=place,
        kit=kit,
        state=_state(steps, whole),
        test_at=found.at,
        whole=whole,
        steps=steps,
        assumed=(*_careful_ends(found), *found.assumed),
        quantities=_told(ground, found, request.test, whole),
        unread=_unread(ground, found),
        other_doses=_other_doses(connection, place.id, found.at),
        next_at=_later(now, [row.ready_at for row in done.values()]),
        retest_at=max((row.wait_until for row in done.values()), default=None),
    )


def _careful_ends(found: Completed) -> tuple[Assumption, ...]:
    """Return where in its band each colour of a strip was taken to be."""
    return tuple(
        Assumption(field=field, value=value, source=Source.BAND)
        for field in FIELD_OF_READING.values()
        if (value := getattr(found.mildest, field)) != getattr(found.middle, field)
    )


def _told(
    ground: Ground, found: Completed, test: WaterTest, whole: DosingPlan
) -> tuple[Quantity, ...]:
    """Return what an expected reading tells of: what was read, and what a step moves."""
    told = []
    for quantity in ground.ranges:
        field = FIELD_OF_READING.get(READING_OF[quantity])
        if field is None:
            continue
        after = [getattr(step.expected.test, field) or 0.0 for step in whole.steps]
        moved = any(abs(value - (getattr(test, field) or 0.0)) > _NEWS_MG_L for value in after)
        if field in found.known or moved:
            told.append(quantity)
    return tuple(told)


def _state(steps: tuple[PlannedStep, ...], whole: DosingPlan) -> PlanState:
    if steps:
        return PlanState.STEPS
    return PlanState.NOTHING_TO_DO if whole.reached else PlanState.OUT_OF_REACH


def _ground_state(ground: Ground, now: datetime) -> tuple[PlanState, Completed | None]:
    """Return the test to plan for, or why there is none."""
    if ground.season.drained:
        return PlanState.DRAINED, None
    try:
        found = ground.completed()
    except InputError:
        return PlanState.CONTRADICTION, None
    if found is None:
        return (PlanState.TOO_OLD if "ph" in ground.sightings else PlanState.NO_TEST), None
    return _usable(ground, found, now)


def _usable(ground: Ground, found: Completed, now: datetime) -> tuple[PlanState, Completed | None]:
    """Return the test where it may be dosed for: young enough, and without ice noted of late."""
    if now - found.at > timedelta(days=FAST_DAYS):
        return PlanState.TOO_OLD, None
    ice = ground.sightings.get("ice")
    if ice is not None and ice.value > 0 and now - ice.at <= timedelta(days=FAST_DAYS):
        return PlanState.FROZEN, None
    return PlanState.STEPS, found


def _without_steps(place: TubPlace, kit: Kit, state: PlanState) -> WaterPlan:
    return WaterPlan(
        tub=place,
        kit=kit,
        state=state,
        test_at=None,
        whole=None,
        steps=(),
        assumed=(),
        quantities=(),
        unread=frozenset(),
        other_doses=(),
        next_at=None,
        retest_at=None,
    )


def _request(
    connection: Connection,
    place: TubPlace,
    ground: Ground,
    found: Completed,
    shelf: tuple[ShelfProduct, ...],
    done: Mapping[int, Row[tuple[object, ...]]],
) -> PlanRequest:
    """Return the request; strengths are those of the day of the test, so that a plan holds."""
    day = found.at.astimezone(ZoneInfo(place.zone)).date()
    taken: dict[int, float] = {}
    for row in done.values():
        if row.supply_id is not None:
            taken[row.supply_id] = taken.get(row.supply_id, 0.0) + row.amount
    fill = None
    if ground.fill is not None:
        fill = FillWater(test=ground.fill, price_minor_per_m3=_water_price(connection))
    unread = _unread(ground, found)
    limits = {q: each.limits for q, each in ground.ranges.items() if q not in unread}
    return PlanRequest(
        test=found.mildest,
        volume_l=ground.profile.volume_l,
        targets=targets_of(limits, ground.fill),
        shelf=[each.item(day, added_back=taken.get(each.supply, 0.0)) for each in shelf],
        measures=[each.measure for each in measures_in(connection)],
        fill=fill,
        exchange=OPEN_WATER if ground.profile.lid is LidKind.NONE else LIDDED_WATER,
        combined_mg_l=_combined(ground, found),
    )


def _combined(ground: Ground, found: Completed) -> float:
    """Return the combined chlorine where it was read with the test, else 0 [mg/L]."""
    seen = ground.sightings.get(READING_OF[Quantity.COMBINED_CHLORINE])
    return seen.value if seen is not None and found.at - seen.at <= TOGETHER else 0.0


def _unread(ground: Ground, found: Completed) -> frozenset[Quantity]:
    """Return the sanitisers that nobody read: they must not be dosed for."""
    return frozenset(
        quantity
        for quantity in (Quantity.FREE_CHLORINE, Quantity.BROMINE, Quantity.PEROXIDE)
        if quantity in ground.ranges and READING_OF[quantity] not in found.known
    )


def _water_price(connection: Connection) -> int:
    price = logbook_price(connection, WATER_PRICE) or Decimal(0)
    return int(price * currency(logbook_currency(connection)).minor_per_unit)


def _done_steps(
    connection: Connection, tub: TubId, test_at: datetime
) -> dict[int, Row[tuple[object, ...]]]:
    step, dose, person = table_of(WaterStepRow), table_of(DoseRow), table_of(PersonRow)
    rows = connection.execute(
        select(step, dose.c.supply_id, dose.c.amount, person.c.name)
        .outerjoin(dose, dose.c.id == step.c.dose_id)
        .outerjoin(person, person.c.id == dose.c.person_id)
        .where(step.c.tub_id == tub, step.c.test_at == test_at)
    )
    return {row.step: row for row in rows}


def _other_doses(connection: Connection, tub: TubId, since: datetime) -> tuple[str, ...]:
    step, dose = table_of(WaterStepRow), table_of(DoseRow)
    rows = connection.execute(
        select(dose.c.product)
        .outerjoin(step, step.c.dose_id == dose.c.id)
        .where(dose.c.tub_id == tub, dose.c.at >= since, step.c.id.is_(None))
        .order_by(dose.c.at)
    )
    return tuple(str(row.product) for row in rows)


def _later(now: datetime, instants: list[datetime]) -> datetime | None:
    latest = max(instants, default=None)
    return latest if latest is not None and latest > now else None
