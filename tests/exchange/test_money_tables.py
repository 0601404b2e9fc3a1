"""The ledger and the review as tables: plain numbers, safe texts, sums that hold."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.errors import InputError
from tubcare.exchange.files import write_table
from tubcare.exchange.ledger_csv import ledger_csv
from tubcare.exchange.review_csv import review_csv
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.currency import currency
from tubcare.services.budgets import set_budgets
from tubcare.services.corrections import refund
from tubcare.services.desk import Desk
from tubcare.services.entries import entries
from tubcare.services.household import start_logbook
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.reviews import year_review
from tubcare.services.supplies import supplies, throw_away
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

EUR = currency("EUR")
NOW = noon(2026, 9, 1)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    store = open_store(tmp_path / "a.db", NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    add_tub(desk, zone="UTC")
    yield desk
    store.close()


def lines(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def stocked(desk: Desk, on: date, minor: int) -> None:
    buy_stock(
        desk,
        StockPurchase(
            on=on,
            supply="+Granules",
            unit="g",
            category=SpendCategory.CHEMICALS,
            quantity_milli=1_500,
            minor=minor,
        ),
    )


def test_the_ledger_has_a_line_for_each_amount_with_what_it_belongs_to(desk: Desk) -> None:
    stocked(desk, date(2026, 5, 1), 1234)
    (entry,) = entries(desk, first=date(2026, 1, 1), last=date(2026, 12, 31))
    refund(desk, entry.id, on=date(2026, 5, 3), minor=234, quantity_milli=250)
    back, bought = lines(
        ledger_csv(entries(desk, first=date(2026, 1, 1), last=date(2026, 12, 31)), EUR)
    )
    assert (bought["amount"], bought["quantity"], bought["unit"]) == ("12.34", "1.500", "g")
    assert (back["amount"], back["refund of"]) == ("-2.34", str(entry.id))
    # A name that a spreadsheet would take for a formula is guarded.
    assert bought["supply"] == "'+Granules"


def test_the_review_as_a_table_adds_up_in_both_views(desk: Desk) -> None:
    pay(desk, DirectPurchase(on=date(2026, 3, 1), category=SpendCategory.PARTS, minor=4321))
    stocked(desk, date(2026, 5, 1), 1500)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=500, on=date(2026, 6, 1))
    set_budgets(desk, 2026, {SpendCategory.PARTS: 5000})
    found = lines(review_csv(year_review(desk, 2026), EUR))
    for view, total in (("paid", "58.21"), ("used", "48.21")):
        for table in ("category", "task", "tub"):
            rows = [r for r in found if (r["view"], r["table"]) == (view, table)]
            assert sum(Decimal(r["total EUR"]) for r in rows) == Decimal(total)
    parts = next(r for r in found if r["name"] == "parts")
    assert (parts["2026-03"], parts["budget"], parts["likely"]) == ("43.21", "50.00", "43.21")


def test_the_review_says_why_it_changed(desk: Desk) -> None:
    for year, minor in ((2025, 1000), (2026, 1700)):
        category = SpendCategory.REPAIRS
        pay(desk, DirectPurchase(on=date(year, 3, 1), category=category, minor=minor))
    (change,) = [
        r for r in lines(review_csv(year_review(desk, 2026), EUR)) if r["table"] == "change"
    ]
    assert (change["name"], change["total EUR"], change["other"]) == ("repairs", "7.00", "7.00")


def test_a_table_that_cannot_be_written_leaves_the_old_one(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="another place"):
        write_table(tmp_path / "nowhere" / "a.csv", "x")
    target = tmp_path / "a.csv"
    write_table(target, "old")
    assert write_table(target, "new") == target
    assert target.read_text(encoding="utf-8-sig") == "new"
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]
