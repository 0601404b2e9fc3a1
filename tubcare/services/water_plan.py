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
from tubcare.services.templates import caution_texts
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_kit import kit_in
from tubcare.services.water_plan_model import PlannedStep, PlanState, StepDone, WaterPlan
from tubcare.services.water_samples import ground_in
from tubcare.services.water_shelf import measures_in, products_in
from tubcare.store.tables import DoseRow, WaterStepRow
from tubcare.store.unit import table_of
from tubcare.values import LidKind
from tubcare.water.cautions import GENERAL
from tubcare.water.compounds import NEUTRALISERS, Compound
from tubcare.water.draining import Neutralising, neutralising
from tubcare.water.drift import LIDDED_WATER, OPEN_WATER
from tubcare.water.judged import FAST_DAYS, READING_OF
from tubcare.water.plan import plan
from tubcare.water.plan_model import FillWater, PlanRequest, StepKind
from tubcare.water.ranges import Quantity
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
    from tubcare.water.plan_model import DosingPlan, PlanStep
    from tubcare.water.reading import WaterTest

# What stands beside a change of water and beside running with the lid open.
_CHANGE_CAUTIONS = ("drain", "slipping", "dry_pump")
_AIR_CAUTIONS = ("lid_lock",)


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
    steps = _steps(whole, shelf, done, request.test)
    return WaterPlan(
        tub=place,
        kit=kit,
        state=_state(steps, whole),
        test_at=found.at,
        whole=whole,
        steps=steps,
        assumed=found.assumed,
        quantities=tuple(ground.ranges),
        unread=_unread(ground, found),
        other_doses=_other_doses(connection, place.id, found.at),
        next_at=_later(now, [row.ready_at for row in done.values()]),
        retest_at=max((row.wait_until for row in done.values()), default=None),
    )


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
    )


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
    step, dose = table_of(WaterStepRow), table_of(DoseRow)
    rows = connection.execute(
        select(step, dose.c.supply_id, dose.c.amount)
        .outerjoin(dose, dose.c.id == step.c.dose_id)
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


def _steps(
    whole: DosingPlan,
    shelf: tuple[ShelfProduct, ...],
    done: Mapping[int, Row[tuple[object, ...]]],
    test: WaterTest,
) -> tuple[PlannedStep, ...]:
    by_name = {each.label.name: each.supply for each in shelf}
    found = []
    for number, step in enumerate(whole.steps, 1):
        row = done.get(number)
        agent = _neutralising(step, shelf, test)
        own, general = _cautions(step, None if agent is None else agent.compound)
        found.append(
            PlannedStep(
                number=number,
                step=step,
                own_cautions=own,
                general_cautions=general,
                supply=None if step.product is None else by_name.get(step.product.name),
                done=None
                if row is None
                else StepDone(at=row.at, ready_at=row.ready_at, wait_until=row.wait_until),
                neutralise=agent,
            )
        )
    return tuple(found)


def _neutralising(
    step: PlanStep, shelf: tuple[ShelfProduct, ...], test: WaterTest
) -> Neutralising | None:
    """Return what ends the sanitiser of the water that goes out, by what is on the shelf."""
    oxidant = max(test.free_chlorine_mg_l, test.total_chlorine_mg_l or 0.0)
    if step.kind is not StepKind.CHANGE_WATER:
        return None
    if oxidant + test.bromine_mg_l + test.peroxide_mg_l <= 0.0:
        return None
    held = [each.label.compound for each in shelf if each.label.compound in NEUTRALISERS]
    agent = held[0] if held else Compound.THIOSULFATE_PENTAHYDRATE
    return neutralising(
        # The other agents are too slow on peroxide.
        Compound.SULFITE if test.peroxide_mg_l > 0.0 else agent,
        volume_l=max(1.0, step.change_l),
        free_chlorine_mg_l=oxidant,
        bromine_mg_l=test.bromine_mg_l,
        peroxide_mg_l=test.peroxide_mg_l,
    )


def _cautions(step: PlanStep, agent: Compound | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the cautions of what the step does, and those of every product.

    A change of water has those of the agent too that ends its sanitiser.
    """
    own: list[str] = []
    general: list[str] = []
    compound = step.compound or agent
    if compound is not None:
        for each in caution_book().of(compound):
            (general if each.key.startswith(GENERAL) else own).append(each.text)
    if step.compound is None:
        texts = caution_texts()
        keys = _CHANGE_CAUTIONS if step.kind is StepKind.CHANGE_WATER else _AIR_CAUTIONS
        own = [*(texts[key] for key in keys), *own]
    return tuple(own), tuple(general)


def _later(now: datetime, instants: list[datetime]) -> datetime | None:
    latest = max(instants, default=None)
    return latest if latest is not None and latest > now else None
