"""Amounts put right: each field can be corrected, and what depends on it still fits."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.clocks import StillClock, noon
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tubcare.errors import InputError, NotFoundError, OutOfRangeError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import budgets, set_budgets
from tubcare.services.corrections import Correction, change_entry, delete_entry, refund
from tubcare.services.desk import Desk
from tubcare.services.entries import Entry, entries, entry_detail
from tubcare.services.history import undo
from tubcare.services.ledger_choices import ledger_choices
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.money import (
    Belongs,
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    end_use,
    pay,
)
from tubcare.services.prices import Prices, set_prices
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.values import EntryId

if TYPE_CHECKING:
    from tubcare.values import TubId

DAY = date(2026, 4, 20)
PARTS = SpendCategory.PARTS


def paid(desk: Desk, minor: int = 4000, on: date = DAY) -> EntryId:
    return pay(desk, DirectPurchase(on=on, category=PARTS, minor=minor, note="Pump"))


def right(minor: int = 4000, on: date = DAY, **changes: object) -> Correction:
    return Correction(on=on, minor=minor, category=PARTS, **changes)  # type: ignore[arg-type]


def of_kind(desk: Desk, kind: str) -> Entry:
    found = entries(desk, first=date(2026, 1, 1), last=date(2026, 12, 31))
    return next(entry for entry in found if entry.kind == kind)


def metered(desk: Desk) -> TubId:
    """Write down two meter readings and a fill, and so a charge of each."""
    tub = add_tub(desk)
    set_prices(desk, Prices(power_per_kwh=Decimal("0.32"), water_per_m3=Decimal("1.50")))
    for on, kwh in ((date(2026, 4, 10), 100), (DAY, 200)):
        add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=kwh * 1000), on=on)
    add_fill(desk, tub, 600, on=DAY)
    return tub


def test_what_an_amount_belongs_to_is_told_whole(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    record_work(desk, task, Work(on=DAY, cost_minor=1250), restarts=True)
    detail = entry_detail(desk, of_kind(desk, "direct").id)
    assert (detail.entry.tub_name, detail.entry.task_title) == (
        "North",
        "Swap the filter cartridge",
    )
    assert (detail.completed_on, detail.completed_by) == (DAY, "Ann")
    assert detail.can_be_refunded


def test_an_amount_that_is_gone_is_told_as_such(desk: Desk) -> None:
    with pytest.raises(NotFoundError, match="99"):
        entry_detail(desk, EntryId(99))


def test_every_field_of_an_amount_can_be_corrected_and_taken_back(desk: Desk) -> None:
    entry = paid(desk)
    task = add_task(desk, add_tub(desk))
    before = facts(desk.store)
    change_entry(
        desk,
        entry,
        Correction(
            on=date(2026, 4, 22),
            minor=3990,
            category=SpendCategory.REPAIRS,
            payee="  Harbour shop ",
            note="Seal",
            belongs=Belongs(task=task),
        ),
    )
    found = entry_detail(desk, entry).entry
    assert (found.on, found.minor, found.category) == (
        date(2026, 4, 22),
        3990,
        SpendCategory.REPAIRS,
    )
    assert (found.payee, found.note, found.task) == ("Harbour shop", "Seal", task)
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before


def test_a_correction_keeps_what_an_amount_belongs_to_unless_told(desk: Desk) -> None:
    tub = add_tub(desk)
    entry = pay(desk, DirectPurchase(on=DAY, category=PARTS, minor=100, belongs=Belongs(tub=tub)))
    change_entry(desk, entry, right(200))
    assert entry_detail(desk, entry).entry.tub == tub


def test_an_amount_that_goes_to_another_task_leaves_the_work_it_was_paid_at(desk: Desk) -> None:
    tub = add_tub(desk)
    task, other = add_task(desk, tub), add_task(desk, tub, title="Clean the coil")
    done = record_work(desk, task, Work(on=DAY, cost_minor=1250), restarts=True).completion
    entry = of_kind(desk, "direct").id
    for belongs, completion in (
        (Belongs(tub=tub, task=task, completion=done), done),
        (Belongs(tub=tub, task=other, completion=done), None),
    ):
        change_entry(desk, entry, right(belongs=belongs))
        assert entry_detail(desk, entry).completion == completion


def test_a_refund_can_be_corrected_but_never_beyond_what_was_paid(desk: Desk) -> None:
    entry = paid(desk)
    back = refund(desk, entry, on=DAY, minor=1000)
    refund(desk, entry, on=DAY, minor=2000)
    change_entry(desk, back, right(-2000))
    assert entry_detail(desk, entry).refunded_minor == 4000
    with pytest.raises(RuleError, match="more would come back"):
        change_entry(desk, back, right(-2001))
    with pytest.raises(InputError, match="before the purchase"):
        change_entry(desk, back, right(-1, on=date(2026, 4, 19)))
    assert_books_hold(desk.store)


def test_a_purchase_stays_large_and_early_enough_for_its_refunds(desk: Desk) -> None:
    entry = paid(desk)
    refund(desk, entry, on=date(2026, 4, 25), minor=1000)
    with pytest.raises(RuleError, match="more has come back"):
        change_entry(desk, entry, right(999))
    with pytest.raises(InputError, match="after the refund"):
        change_entry(desk, entry, right(on=date(2026, 4, 26)))
    change_entry(desk, entry, right(1000, on=date(2026, 4, 25)))
    assert entry_detail(desk, entry).entry.minor == 1000


def test_an_amount_cannot_turn_into_a_refund_nor_back(desk: Desk) -> None:
    entry = paid(desk)
    back = refund(desk, entry, on=DAY, minor=1000)
    with pytest.raises(OutOfRangeError):
        change_entry(desk, entry, right(-4000))
    with pytest.raises(OutOfRangeError):
        change_entry(desk, back, right(1000))


@pytest.mark.parametrize("kind", ["power", "water"])
def test_day_and_quantity_of_a_metered_amount_are_those_of_the_measurement(
    desk: Desk, kind: str
) -> None:
    metered(desk)
    entry = of_kind(desk, kind)
    assert entry_detail(desk, entry.id).follows_from_a_measurement
    billed = Correction(
        on=entry.on,
        minor=entry.minor + 100,
        category=entry.category,
        quantity_milli=entry.quantity_milli,
    )
    change_entry(desk, entry.id, billed)
    assert entry_detail(desk, entry.id).entry.minor == entry.minor + 100
    with pytest.raises(RuleError, match="correct that"):
        change_entry(
            desk,
            entry.id,
            Correction(on=entry.on, minor=1, category=entry.category, quantity_milli=1),
        )
    with pytest.raises(RuleError, match="delete the"):
        delete_entry(desk, entry.id)
    assert_books_hold(desk.store)


def test_a_corrected_bill_outlives_the_next_reading(desk: Desk) -> None:
    tub = metered(desk)
    entry = of_kind(desk, "power")
    billed = Correction(
        on=entry.on,
        minor=5000,
        category=entry.category,
        quantity_milli=entry.quantity_milli,
    )
    change_entry(desk, entry.id, billed)
    later = Desk(desk.store, StillClock(noon(2026, 5, 20)), "Ann")
    value = MeterValue(counter="kwh", value_milli=300_000)
    add_meter_reading(later, tub, value, on=date(2026, 5, 20))
    assert entry_detail(desk, entry.id).entry.minor == 5000


def test_life_and_rest_value_of_the_build_can_be_corrected(desk: Desk) -> None:
    made = add_build_cost(desk, BuildCost(on=DAY, minor=96_000, months=96, note="Chest"))
    change_entry(desk, made, right(96_000, months=48, salvage_minor=6000))
    detail = entry_detail(desk, made)
    assert (detail.months, detail.salvage_minor) == (48, 6000)
    with pytest.raises(OutOfRangeError, match="salvage"):
        change_entry(desk, made, right(5000, salvage_minor=6000))
    assert_books_hold(desk.store)


def test_a_part_of_the_build_is_bought_before_its_use_ends(desk: Desk) -> None:
    made = add_build_cost(desk, BuildCost(on=DAY, minor=96_000, months=96, note="Chest"))
    end_use(desk, made, date(2026, 4, 25))
    with pytest.raises(InputError, match="end of its use"):
        change_entry(desk, made, right(96_000, on=date(2026, 4, 26)))


def test_how_long_a_purchase_keeps_is_kept_and_corrected(desk: Desk) -> None:
    bought = buy_stock(
        desk,
        StockPurchase(
            on=DAY,
            supply="Test strips",
            unit="strip",
            category=SpendCategory.TESTING,
            quantity_milli=50_000,
            minor=990,
            expires_on=date(2027, 11, 30),
        ),
    )
    assert entry_detail(desk, bought).expires_on == date(2027, 11, 30)
    change_entry(desk, bought, right(990, quantity_milli=50_000, expires_on=date(2028, 1, 31)))
    assert entry_detail(desk, bought).expires_on == date(2028, 1, 31)
    with pytest.raises(InputError, match="before the day it was bought"):
        change_entry(desk, bought, right(990, quantity_milli=50_000, expires_on=date(2026, 4, 1)))


def test_the_ledger_offers_what_there_is_to_belong_to(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    paid(desk)
    pay(
        desk,
        DirectPurchase(
            on=date(2026, 4, 21), category=SpendCategory.REPAIRS, minor=1, note="Pump\nby Ben"
        ),
    )
    found = ledger_choices(desk)
    assert found.tubs == {tub: "North"}
    assert [(t.id, t.tub) for t in found.tasks] == [(task, tub)]
    # The newest amount of that name says the kind.
    assert found.recent == {"Pump": SpendCategory.REPAIRS}
    assert found.first == DAY


def test_budgets_of_a_year_are_set_together_and_taken_back_together(desk: Desk) -> None:
    set_budgets(desk, 2026, {SpendCategory.POWER: 14_000, PARTS: 100})
    set_budgets(desk, 2026, {SpendCategory.POWER: None, PARTS: 200})
    assert budgets(desk, 2026) == {PARTS: 200}
    undo(desk)
    assert budgets(desk, 2026) == {SpendCategory.POWER: 14_000, PARTS: 100}
