"""Money that left the wallet: purchases for the shelf, things used at once, the build."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import InputError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services import fields
from tubcare.services.supplies import MAX_QUANTITY_MILLI, ensure_supply
from tubcare.services.topics import Topic
from tubcare.store.tables import EntryRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, EntryId, TaskId, TubId

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit

MAX_MINOR = 10**12
MONEY_TOPICS = frozenset({Topic.MONEY, Topic.STOCK})


@dataclass(frozen=True, slots=True, kw_only=True)
class Belongs:
    """What an amount belongs to; any of these may be unknown."""

    tub: TubId | None = None
    task: TaskId | None = None
    completion: CompletionId | None = None


NOBODY = Belongs()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPurchase:
    """Something bought for the shelf. `quantity_milli` in thousandths of the supply's unit."""

    on: date
    supply: str
    unit: str
    category: SpendCategory
    quantity_milli: int
    minor: int
    payee: str = ""
    note: str = ""
    expires_on: date | None = None
    belongs: Belongs = NOBODY


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectPurchase:
    """Something paid for and used at once: a repair, a part, a service."""

    on: date
    category: SpendCategory
    minor: int
    payee: str = ""
    note: str = ""
    belongs: Belongs = NOBODY


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildCost:
    """Part of the tub itself, paid once and written off by month over its life."""

    on: date
    minor: int
    months: int
    salvage_minor: int = 0
    note: str = ""
    belongs: Belongs = NOBODY


def buy_stock(desk: Desk, purchase: StockPurchase) -> EntryId:
    """Write down a purchase for the shelf.

    Raises
    ------
    InputError, OutOfRangeError
        For an amount, quantity, name or date that cannot be right.
    """
    check_amount(purchase.minor)
    check_expiry(purchase.on, purchase.expires_on)
    fields.quantity("quantity_milli", purchase.quantity_milli, 1, MAX_QUANTITY_MILLI)
    with desk.write("buy_stock", purchase.supply, MONEY_TOPICS) as unit:
        supply = ensure_supply(
            unit, name=purchase.supply, unit=purchase.unit, category=purchase.category
        )
        return _add(
            unit,
            purchase.belongs,
            on_date=fields.day("date", purchase.on),
            kind="stock",
            category=purchase.category.value,
            minor=purchase.minor,
            supply_id=supply,
            quantity_milli=purchase.quantity_milli,
            expires_on=purchase.expires_on,
            payee=fields.plain(purchase.payee).strip()[: fields.MAX_NAME],
            note=fields.note_text(purchase.note),
        )


def pay(desk: Desk, purchase: DirectPurchase) -> EntryId:
    """Write down something paid for and used at once; raises like `buy_stock`."""
    check_amount(purchase.minor)
    with desk.write("pay", purchase.note or purchase.category.value, MONEY_TOPICS) as unit:
        return _add(
            unit,
            purchase.belongs,
            on_date=fields.day("date", purchase.on),
            kind="direct",
            category=purchase.category.value,
            minor=purchase.minor,
            payee=fields.plain(purchase.payee).strip()[: fields.MAX_NAME],
            note=fields.note_text(purchase.note),
        )


def add_build_cost(desk: Desk, build: BuildCost) -> EntryId:
    """Write down part of the tub's build; raises like `buy_stock`."""
    check_amount(build.minor)
    fields.quantity("months", build.months, 1, 1200)
    fields.quantity("salvage_minor", build.salvage_minor, 0, build.minor)
    with desk.write("add_build_cost", build.note or "build", MONEY_TOPICS) as unit:
        return _add(
            unit,
            build.belongs,
            on_date=fields.day("date", build.on),
            kind="build",
            category=SpendCategory.BUILD.value,
            minor=build.minor,
            months=build.months,
            salvage_minor=build.salvage_minor,
            note=fields.note_text(build.note),
        )


def end_use(desk: Desk, entry: EntryId, on: date) -> None:
    """Write down that a built part was scrapped; its rest is written off on that day."""
    with desk.write("end_use", "build", MONEY_TOPICS) as unit:
        image = unit.image(table_of(EntryRow), entry)
        if image["kind"] != "build":
            raise RuleError("only part of the build can end its use")
        if on < image["on_date"]:
            raise InputError("date", f"{on} lies before the day it was bought")
        unit.change(EntryRow, entry, ended_on=on)


def check_amount(minor: int) -> None:
    """Raise `OutOfRangeError` for an amount that is not positive or absurd."""
    fields.quantity("minor", minor, 1, MAX_MINOR)


def check_expiry(on: date, expires_on: date | None) -> None:
    """Raise `InputError` when something had expired before it was bought."""
    if expires_on is not None and fields.day("expires_on", expires_on) < on:
        raise InputError("expires_on", f"{expires_on} lies before the day it was bought")


def _add(unit: Unit, belongs: Belongs, **values: object) -> EntryId:
    return EntryId(
        unit.add(
            EntryRow,
            tub_id=belongs.tub,
            task_id=belongs.task,
            completion_id=belongs.completion,
            **values,
        )
    )
