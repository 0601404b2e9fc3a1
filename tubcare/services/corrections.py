"""Amounts put right: refunds, corrections, deletions. What follows them is valued anew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.errors import DependentFactError, InputError, RuleError
from tubcare.ledger.write_off import MAX_MONTHS
from tubcare.services import fields
from tubcare.services.entries import METERED
from tubcare.services.money import MONEY_TOPICS, Belongs, check_amount, check_expiry
from tubcare.services.supplies import MAX_QUANTITY_MILLI
from tubcare.store.tables import EntryRow
from tubcare.store.unit import table_of
from tubcare.values import EntryId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.ledger.categories import SpendCategory
    from tubcare.services.desk import Desk
    from tubcare.store.journal import Image


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """An amount as it should be.

    `minor` keeps its sign: negative for a refund. None in `belongs`, `months` and `salvage_minor`
    leaves them as they are; so does a kind of amount that has no such field.
    """

    on: date
    minor: int
    category: SpendCategory
    quantity_milli: int | None = None
    payee: str = ""
    note: str = ""
    expires_on: date | None = None
    belongs: Belongs | None = None
    months: int | None = None
    salvage_minor: int | None = None


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
    check_amount(minor)
    with desk.write("refund", "refund", MONEY_TOPICS) as unit:
        original = unit.image(table_of(EntryRow), entry)
        if original["minor"] < 0:
            raise RuleError("a refund cannot itself be refunded")
        if on < original["on_date"]:
            raise InputError("date", f"{on} lies before the purchase of {original['on_date']}")
        if minor > original["minor"] - _came_back(unit.connection, entry):
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


def change_entry(desk: Desk, entry: EntryId, wanted: Correction) -> None:
    """Correct an amount; what follows is valued anew.

    Raises
    ------
    InputError, OutOfRangeError
        For an amount, quantity, name or date that cannot be right.
    RuleError
        When a refund would no longer fit, or the day or quantity of a metered amount would move.
    """
    with desk.write("change_entry", wanted.note or wanted.category.value, MONEY_TOPICS) as unit:
        image = unit.image(table_of(EntryRow), entry)
        check_amount(wanted.minor if image["minor"] > 0 else -wanted.minor)
        if image["kind"] == "stock":
            fields.quantity("quantity_milli", wanted.quantity_milli or 0, 1, MAX_QUANTITY_MILLI)
            check_expiry(wanted.on, wanted.expires_on)
        if image["kind"] in METERED:
            _require_measurement_kept(image, wanted)
        if image["refund_of"] is not None:
            _require_fits_original(unit.connection, image, wanted)
        _require_refunds_fit(unit.connection, entry, wanted)
        unit.change(EntryRow, entry, **_values(image, wanted))


def delete_entry(desk: Desk, entry: EntryId) -> None:
    """Take an amount out of the ledger; what follows is valued anew.

    Raises
    ------
    DependentFactError
        When a refund names it.
    RuleError
        When it follows from a meter reading or a fill.
    """
    entries = table_of(EntryRow)
    with desk.write("delete_entry", "entry", MONEY_TOPICS) as unit:
        image = unit.image(entries, entry)
        if image["meter_reading_id"] is not None:
            raise RuleError("this amount follows from a meter reading; delete the reading instead")
        if image["fill_id"] is not None:
            raise RuleError("this amount follows from a filling; delete the filling instead")
        refunded = unit.connection.execute(
            select(entries.c.on_date).where(entries.c.refund_of == entry).limit(1)
        ).scalar()
        if refunded is not None:
            raise DependentFactError("this amount", f"the refund of {refunded}")
        unit.remove(EntryRow, entry)


def _came_back(connection: Connection, entry: EntryId) -> int:
    """Return what came back for an amount so far, positive."""
    entries = table_of(EntryRow)
    total = connection.execute(
        select(func.coalesce(func.sum(entries.c.minor), 0)).where(entries.c.refund_of == entry)
    ).scalar_one()
    return -int(total)


def _require_measurement_kept(image: Image, wanted: Correction) -> None:
    kept = (image["on_date"], image["quantity_milli"], image["category"])
    if kept != (wanted.on, wanted.quantity_milli, wanted.category.value):
        raise RuleError(
            "the day and the quantity follow from the meter reading or the filling; "
            "correct that, or change the amount alone"
        )


def _require_fits_original(connection: Connection, image: Image, wanted: Correction) -> None:
    entries = table_of(EntryRow)
    original = connection.execute(
        select(entries.c.on_date, entries.c.minor).where(entries.c.id == image["refund_of"])
    ).one()
    if wanted.on < original.on_date:
        raise InputError("date", f"{wanted.on} lies before the purchase of {original.on_date}")
    others = _came_back(connection, EntryId(image["refund_of"])) + image["minor"]
    if -wanted.minor > original.minor - others:
        raise RuleError("more would come back than was paid; check the amount")


def _require_refunds_fit(connection: Connection, entry: EntryId, wanted: Correction) -> None:
    entries = table_of(EntryRow)
    earliest = connection.execute(
        select(func.min(entries.c.on_date)).where(entries.c.refund_of == entry)
    ).scalar()
    if earliest is None:
        return
    if wanted.on > earliest:
        raise InputError("date", f"{wanted.on} lies after the refund of {earliest}")
    if wanted.minor < _came_back(connection, entry):
        raise RuleError("more has come back for it already; check the amount and the refund")


def _values(image: Image, wanted: Correction) -> dict[str, object]:
    """Return the columns as they shall be; what a kind of amount does not have stays empty."""
    values: dict[str, object] = {
        "on_date": fields.day("date", wanted.on),
        "minor": wanted.minor,
        "category": wanted.category.value,
        "quantity_milli": wanted.quantity_milli,
        "payee": fields.plain(wanted.payee).strip()[: fields.MAX_NAME],
        "note": fields.note_text(wanted.note),
    }
    if image["kind"] == "stock":
        values["expires_on"] = wanted.expires_on
    if image["kind"] == "build":
        values |= _life(image, wanted)
    if wanted.belongs is not None:
        same_task = wanted.belongs.task == image["task_id"]
        values |= {
            "tub_id": wanted.belongs.tub,
            "task_id": wanted.belongs.task,
            # Work on one task is not work on another.
            "completion_id": wanted.belongs.completion if same_task else None,
        }
    return values


def _life(image: Image, wanted: Correction) -> dict[str, object]:
    months = image["months"] if wanted.months is None else wanted.months
    salvage = image["salvage_minor"] if wanted.salvage_minor is None else wanted.salvage_minor
    fields.quantity("months", months, 1, MAX_MONTHS)
    fields.quantity("salvage_minor", salvage, 0, wanted.minor)
    if image["ended_on"] is not None and wanted.on > image["ended_on"]:
        raise InputError("date", f"{wanted.on} lies after the end of its use")
    return {"months": months, "salvage_minor": salvage}
