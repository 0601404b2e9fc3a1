"""The course of a reading: what was measured and added, and what to expect until a test."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo

from sqlalchemy import select

from tubcare.errors import InputError
from tubcare.services.measures import tub_named
from tubcare.services.water_kit import kit_in
from tubcare.services.water_loss import SANITISERS, Loss, loss_in
from tubcare.services.water_samples import ground_in, samples_in
from tubcare.store.tables import DoseRow, FillRow
from tubcare.store.unit import table_of
from tubcare.values import LidKind
from tubcare.water.balance import balance
from tubcare.water.drift import LIDDED_WATER, OPEN_WATER, ph_after
from tubcare.water.judged import READING_OF
from tubcare.water.loss import level_after
from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.ranges import TubRange
    from tubcare.services.water_samples import Ground, Sample
    from tubcare.values import TubId
    from tubcare.water.kit import Kit

DAYS_BACK: Final = 45
# Without a fitted loss the next test comes by the plan: after three days. Common practice.
_USUAL_TEST_DAYS: Final = 3
_LONGEST_DAYS: Final = 14
_DAY_S: Final = 86_400.0


class EventKind(StrEnum):
    """What was done to the water."""

    DOSE = "dose"
    CHANGE = "change"
    TOP_UP = "top_up"


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseEvent:
    """Something added or changed; `amount` in `unit` (g, ml or l), `product` empty for water."""

    on: date
    kind: EventKind
    product: str
    amount: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What is expected on a day, with its range."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDay:
    """One day: the last value read on it, what is expected of it, and what was done."""

    on: date
    measured: float | None
    expected: Forecast | None
    events: tuple[CourseEvent, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterCourse:
    """The course of one quantity of a tub.

    Attributes
    ----------
    choices
        The quantities that the tub has ranges for.
    days
        Every day from the first shown to the next test.
    loss
        How fast the sanitiser goes; None for other quantities, or where nothing can be fitted.
    next_test
        By when to test again; None for a tub that holds no water: nothing is expected of it.
    """

    tub: TubPlace
    kit: Kit
    quantity: Quantity
    limits: TubRange
    choices: tuple[Quantity, ...]
    days: tuple[CourseDay, ...]
    loss: Loss | None
    next_test: date | None


def water_course(
    desk: Desk, tub: TubId | str | None = None, quantity: Quantity = Quantity.PH
) -> WaterCourse:
    """Return the course of a quantity.

    Raises
    ------
    InputError
        When the tub has no range for it.
    """
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        ground = ground_in(connection, place.id, now)
        limits = ground.ranges.get(quantity)
        if limits is None:
            raise InputError("quantity", f"this tub has no range for {quantity.value}")
        samples = samples_in(
            connection, place.id, since=now - timedelta(days=DAYS_BACK), until=now
        )
        loss = loss_in(connection, ground, quantity, now)
        drained = ground.season.drained
        next_test = None if drained else next_test_in(connection, place, ground, now)
        events = _events(connection, place.id, now)
        kit = kit_in(connection, place.id)
    zone = ZoneInfo(place.zone)
    today = now.astimezone(zone).date()
    days = _days(ground, quantity, samples, events, loss, (today, next_test, now))
    return WaterCourse(
        tub=place,
        kit=kit,
        quantity=quantity,
        limits=limits,
        choices=tuple(ground.ranges),
        days=days,
        loss=loss,
        next_test=next_test,
    )


def _days(
    ground: Ground,
    quantity: Quantity,
    samples: Sequence[Sample],
    events: Sequence[CourseEvent],
    loss: Loss | None,
    times: tuple[date, date | None, datetime],
) -> tuple[CourseDay, ...]:
    today, next_test, now = times
    last = next_test or today
    name = READING_OF[quantity]
    measured = {
        sample.on: sample.values[name].value
        for sample in reversed(samples)
        if name in sample.values
    }
    expected = {
        today + timedelta(days=ahead): _forecast(
            ground, quantity, loss, now + timedelta(days=ahead)
        )
        for ahead in range((last - today).days + 1)
        if next_test is not None
    }
    firsts = [*measured, *(event.on for event in events if event.on >= _first(today)), today]
    first = max(min(firsts), _first(today))
    found = []
    for ahead in range((last - first).days + 1):
        on = first + timedelta(days=ahead)
        found.append(
            CourseDay(
                on=on,
                measured=measured.get(on),
                expected=expected.get(on),
                events=tuple(event for event in events if event.on == on),
            )
        )
    return tuple(found)


def _first(today: date) -> date:
    return today - timedelta(days=DAYS_BACK)


def next_test_of(desk: Desk, tub: TubId | str | None = None) -> date:
    """Return by which day a tub is to be tested, whatever is looked at."""
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        return next_test_in(connection, place, ground_in(connection, place.id, now), now)


def next_test_in(connection: Connection, place: TubPlace, ground: Ground, now: datetime) -> date:
    """Return by when to test: when the sanitiser may reach its floor, else three days on."""
    zone = ZoneInfo(place.zone)
    today = now.astimezone(zone).date()
    sanitiser = next((each for each in SANITISERS if each in ground.ranges), None)
    loss = None if sanitiser is None else loss_in(connection, ground, sanitiser, now)
    tested = ground.tested_at
    usual = today + timedelta(days=_USUAL_TEST_DAYS)
    if tested is not None:
        usual = tested.astimezone(zone).date() + timedelta(days=_USUAL_TEST_DAYS)
    wanted = usual
    if loss is not None and loss.due is not None and loss.due.earliest is not None:
        wanted = loss.due.earliest.astimezone(zone).date()
    return min(max(wanted, today), today + timedelta(days=_LONGEST_DAYS))


def _forecast(
    ground: Ground, quantity: Quantity, loss: Loss | None, at: datetime
) -> Forecast | None:
    """Return what is expected at an instant; None where nothing is known to move it."""
    if loss is not None:
        days = max(0.0, (at - loss.level_at).total_seconds() / _DAY_S)
        value, low, high = level_after(loss.rate, loss.level_mg_l, min(days, 400.0))
        return Forecast(value=value, low=low, high=high)
    if quantity is not Quantity.PH:
        return None
    found = ground.completed_or_none()
    if found is None:
        return None
    days = max(0.0, (at - found.at).total_seconds() / _DAY_S)
    exchange = OPEN_WATER if ground.profile.lid is LidKind.NONE else LIDDED_WATER
    try:
        state = balance(found.middle)
        ends = [
            ph_after(state, days=days, rate_per_day=rate)
            for rate in (exchange.low_per_day, exchange.high_per_day)
        ]
    except InputError:
        return None
    return Forecast(value=sum(ends) / 2.0, low=min(ends), high=max(ends))


def _events(connection: Connection, tub: TubId, now: datetime) -> list[CourseEvent]:
    dose, fill = table_of(DoseRow), table_of(FillRow)
    since = now - timedelta(days=DAYS_BACK)
    found = [
        CourseEvent(
            on=row.on_date,
            kind=EventKind.DOSE,
            product=row.product,
            amount=row.amount,
            unit=row.unit,
        )
        for row in connection.execute(
            select(dose).where(dose.c.tub_id == tub, dose.c.at >= since, dose.c.at <= now)
        )
    ]
    found += [
        CourseEvent(
            on=row.on_date,
            kind=EventKind.TOP_UP if row.kind == "top_up" else EventKind.CHANGE,
            product="",
            amount=row.litres,
            unit="l",
        )
        for row in connection.execute(
            select(fill).where(fill.c.tub_id == tub, fill.c.at >= since, fill.c.at <= now)
        )
    ]
    found.sort(key=lambda event: event.on)
    return found
