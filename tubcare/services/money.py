"""Money that left the wallet: purchases, repairs, refunds, the build, budgets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.errors import DependentFactError, InputError, NotFoundError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services import fields
from tubcare.services.supplies import MAX_QUANTITY_MILLI, ensure_supply
from tubcare.services.topics import Topic
from tubcare.store.tables import BudgetRow, EntryRow, SupplyRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, EntryId, SupplyId, TaskId, TubId

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One amount of the ledger, as shown in a list."""

    id: EntryId
    on: date
    kind: str
    category: SpendCategory
    minor: int
    tub: TubId | None
    task: TaskId | None
    task_title: str
    supply: SupplyId | None
    supply_name: str
    supply_unit: str
    quantity_milli: int | None
    refund_of: EntryId | None
    payee: str
    note: str
    is_estimate: bool = False


def buy_stock(desk: Desk, purchase: StockPurchase) -> EntryId:
    """Write down a purchase for the shelf.

    Raises
    ------
    InputError, OutOfRangeError
        For an amount, quantity, name or date that cannot be right.
    """
    _check_amount(purchase.minor)
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
            payee=purchase.payee.strip()[: fields.MAX_NAME],
            note=fields.note_text(purchase.note),
        )


def pay(desk: Desk, purchase: DirectPurchase) -> EntryId:
    """Write down something paid for and used at once; raises like `buy_stock`."""
    _check_amount(purchase.minor)
    with desk.write("pay", purchase.note or purchase.category.value, MONEY_TOPICS) as unit:
        return _add(
            unit,
            purchase.belongs,
            on_date=fields.day("date", purchase.on),
            kind="direct",
            category=purchase.category.value,
            minor=purchase.minor,
            payee=purchase.payee.strip()[: fields.MAX_NAME],
            note=fields.note_text(purchase.note),
        )


def add_build_cost(desk: Desk, build: BuildCost) -> EntryId:
    """Write down part of the tub's build; raises like `buy_stock`."""
    _check_amount(build.minor)
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


def refund(
    desk: Desk, entry: EntryId, *, on: date, minor: int, quantity_milli: int | None = None
) -> EntryId:
    """Write down money that came back for an earlier amount.

    Parameters
    ----------
    minor
        What came back, positive, in minor units.
    quantity_milli
        What went back to the shop, for something that was bought for the shelf.

    Raises
    ------
    RuleError
        When more comes back than was paid.
    """
    _check_amount(minor)
    entries = table_of(EntryRow)
    with desk.write("refund", "refund", MONEY_TOPICS) as unit:
        original = unit.image(entries, entry)
        if original["minor"] < 0:
            raise RuleError("a refund cannot itself be refunded")
        if on < original["on_date"]:
            raise InputError("date", f"{on} lies before the purchase of {original['on_date']}")
        earlier = unit.connection.execute(
            select(func.coalesce(func.sum(entries.c.minor), 0)).where(entries.c.refund_of == entry)
        ).scalar_one()
        if minor > original["minor"] + int(earlier):
            raise RuleError("more would come back than was paid; check the amount")
        return EntryId(
            unit.add(
                EntryRow,
                on_date=fields.day("date", on),
                kind="refund",
                category=original["category"],
                minor=-minor,
                tub_id=original["tub_id"],
                task_id=original["task_id"],
                supply_id=original["supply_id"],
                quantity_milli=quantity_milli if original["supply_id"] else None,
                refund_of=entry,
            )
        )


def change_entry(  # noqa: PLR0913  each field can be corrected
    desk: Desk,
    entry: EntryId,
    *,
    on: date,
    minor: int,
    category: SpendCategory,
    quantity_milli: int | None,
    payee: str,
    note: str,
) -> None:
    """Correct an amount; what follows is valued anew. Raises like `buy_stock`."""
    with desk.write("change_entry", note or category.value, MONEY_TOPICS) as unit:
        image = unit.image(table_of(EntryRow), entry)
        _check_amount(minor if image["minor"] > 0 else -minor)
        if image["kind"] == "stock":
            fields.quantity("quantity_milli", quantity_milli or 0, 1, MAX_QUANTITY_MILLI)
        unit.change(
            EntryRow,
            entry,
            on_date=fields.day("date", on),
            minor=minor,
            category=category.value,
            quantity_milli=quantity_milli,
            payee=payee.strip()[: fields.MAX_NAME],
            note=fields.note_text(note),
        )


def delete_entry(desk: Desk, entry: EntryId) -> None:
    """Take an amount out of the ledger; what follows is valued anew.

    Raises
    ------
    DependentFactError
        When a refund names it.
    """
    entries = table_of(EntryRow)
    with desk.write("delete_entry", "entry", MONEY_TOPICS) as unit:
        refunded = unit.connection.execute(
            select(entries.c.on_date).where(entries.c.refund_of == entry).limit(1)
        ).scalar()
        if refunded is not None:
            raise DependentFactError("this amount", f"the refund of {refunded}")
        unit.remove(EntryRow, entry)


def set_budget(desk: Desk, *, year: int, category: SpendCategory, minor: int | None) -> None:
    """Keep what a category may cost in a year; None takes the budget away.

    Raises
    ------
    OutOfRangeError
        For a negative or absurd amount.
    """
    budgets = table_of(BudgetRow)
    fields.quantity("year", year, fields.FIRST_DAY.year, fields.LAST_DAY.year)
    if minor is not None:
        fields.quantity("minor", minor, 0, MAX_MINOR)
    with desk.write("set_budget", category.value, frozenset({Topic.MONEY})) as unit:
        known = unit.connection.execute(
            select(budgets.c.id).where(
                budgets.c.year == year, budgets.c.category == category.value
            )
        ).scalar()
        if known is not None and minor is None:
            unit.remove(BudgetRow, known)
        elif known is not None:
            unit.change(BudgetRow, known, minor=minor)
        elif minor is not None:
            unit.add(BudgetRow, year=year, category=category.value, minor=minor)


def entries(desk: Desk, *, first: date, last: date, limit: int | None = None) -> tuple[Entry, ...]:
    """Return the amounts between two dates, newest first."""
    entry, task, supply = table_of(EntryRow), table_of(TaskRow), table_of(SupplyRow)
    statement = (
        select(
            entry,
            func.coalesce(task.c.title, "").label("task_title"),
            func.coalesce(supply.c.name, "").label("supply_name"),
            func.coalesce(supply.c.unit, "").label("supply_unit"),
        )
        .outerjoin(task, task.c.id == entry.c.task_id)
        .outerjoin(supply, supply.c.id == entry.c.supply_id)
        .where(entry.c.on_date >= first, entry.c.on_date <= last)
        .order_by(entry.c.on_date.desc(), entry.c.id.desc())
    )
    if limit is not None:
        statement = statement.limit(limit)
    with desk.read() as connection:
        rows = connection.execute(statement).all()
    return tuple(
        Entry(
            id=EntryId(row.id),
            on=row.on_date,
            kind=row.kind,
            category=SpendCategory(row.category),
            minor=row.minor,
            tub=row.tub_id,
            task=row.task_id,
            task_title=row.task_title,
            supply=row.supply_id,
            supply_name=row.supply_name,
            supply_unit=row.supply_unit,
            quantity_milli=row.quantity_milli,
            refund_of=row.refund_of,
            payee=row.payee,
            note=row.note,
        )
        for row in rows
    )


def entry_named(desk: Desk, entry: EntryId) -> Entry:
    """Return one amount; raise `NotFoundError` when it is gone."""
    table = table_of(EntryRow)
    with desk.read() as connection:
        on = connection.execute(select(table.c.on_date).where(table.c.id == entry)).scalar()
    if on is None:
        raise NotFoundError("amount", entry)
    return next(e for e in entries(desk, first=on, last=on) if e.id == entry)


def _check_amount(minor: int) -> None:
    fields.quantity("minor", minor, 1, MAX_MINOR)


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
