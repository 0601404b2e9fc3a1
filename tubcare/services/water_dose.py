"""A dose outside the plan: written down with its stock, cost and wait."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from tubcare.errors import NotFoundError
from tubcare.services import fields
from tubcare.services.household import ensure_person
from tubcare.services.measures import TubPlace, tub_named
from tubcare.services.moments import happened_at
from tubcare.services.topics import Topic
from tubcare.services.water_shelf import ShelfProduct, products_in
from tubcare.services.water_steps import StepRecord, insert_dose
from tubcare.water.plan import retest_minutes

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TubId

DOSE_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP, Topic.MONEY, Topic.STOCK})
_MOST: Final = 50_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dosed:
    """What was written down; until `wait_until` a reading would mislead."""

    tub: TubPlace
    product: str
    amount: float
    unit: str
    wait_until: datetime
    cautions: tuple[str, ...]


def add_dose(
    desk: Desk,
    tub: TubId | str | None,
    product: SupplyId | str,
    amount: float,
    *,
    on: date | None = None,
) -> Dosed:
    """Write down that a product was added, outside the plan.

    Parameters
    ----------
    product
        A supply with a label, by id or by name.
    amount
        In grams or millilitres. [g or mL], above 0 to 50000

    Raises
    ------
    NotFoundError
        When no product of that name is on the shelf.
    OutOfRangeError
        When the amount cannot be right.
    """
    fields.quantity("amount", amount, 0.01, _MOST)
    with desk.read() as connection:
        place = tub_named(connection, tub)
        found = _product(connection, product)
    day, at = happened_at(desk, place.zone, on)
    label = found.label
    wait_until = at + timedelta(minutes=retest_minutes(label.compound))
    with desk.write("add_dose", place.name, DOSE_TOPICS) as unit:
        who = ensure_person(unit, desk.actor)
        record = StepRecord(tub=place.id, at=at, on=day, person=who)
        insert_dose(unit, found, amount, wait_until, record)
    return Dosed(
        tub=place,
        product=label.name,
        amount=amount,
        unit=label.unit,
        wait_until=wait_until,
        cautions=found.cautions,
    )


def _product(connection: Connection, product: SupplyId | str) -> ShelfProduct:
    wanted = str(product).casefold()
    for each in products_in(connection):
        if each.supply == product or each.label.name.casefold() == wanted:
            return each
    raise NotFoundError("product", product)
