"""Random histories of money and stock: the books always hold, undo always leads back."""

from __future__ import annotations

import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from typing_extensions import override

from tests.support.books import assert_books_hold
from tests.support.clocks import StillClock, noon
from tests.support.dump import facts
from tubcare.errors import (
    DependentFactError,
    InputError,
    NotFoundError,
    OutOfRangeError,
    RuleError,
)
from tubcare.ledger.categories import SpendCategory
from tubcare.services.corrections import Correction, change_entry, delete_entry, refund
from tubcare.services.desk import Desk
from tubcare.services.entries import entries
from tubcare.services.history import redo, undo
from tubcare.services.household import start_logbook
from tubcare.services.money import (
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    pay,
)
from tubcare.services.supplies import count_stock, supplies, throw_away
from tubcare.store.open import open_store

FIRST, LAST = date(2025, 1, 1), date(2026, 12, 31)
days = st.integers(0, (LAST - FIRST).days).map(lambda n: FIRST + timedelta(days=n))
amounts = st.integers(1, 50_000)
quantities = st.integers(1, 9_000)
names = st.sampled_from(["Filter", "Granules"])


class Books(RuleBasedStateMachine):
    """Someone who buys, uses, counts, sends back, corrects, deletes and takes back."""

    def __init__(self) -> None:
        super().__init__()
        self._folder = tempfile.TemporaryDirectory()
        now = noon(2026, 5, 1)
        self._store = open_store(Path(self._folder.name) / "a.db", now)
        self._desk = Desk(self._store, StillClock(now), "Ann")
        start_logbook(self._desk, currency_code="EUR", home_zone="UTC", person="Ann")
        self._before: dict[str, Any] | None = None

    @override
    def teardown(self) -> None:
        self._store.close()
        self._folder.cleanup()

    @rule(on=days, name=names, minor=amounts, quantity=quantities)
    def buys_for_the_shelf(self, on: date, name: str, minor: int, quantity: int) -> None:
        self._before = facts(self._store)
        purchase = StockPurchase(
            on=on,
            supply=name,
            unit="g",
            category=SpendCategory.CHEMICALS,
            quantity_milli=quantity,
            minor=minor,
        )
        buy_stock(self._desk, purchase)

    @rule(on=days, minor=amounts)
    def pays(self, on: date, minor: int) -> None:
        self._before = facts(self._store)
        pay(self._desk, DirectPurchase(on=on, category=SpendCategory.REPAIRS, minor=minor))

    @rule(on=days, minor=amounts, months=st.integers(1, 40))
    def builds(self, on: date, minor: int, months: int) -> None:
        self._before = facts(self._store)
        add_build_cost(self._desk, BuildCost(on=on, minor=minor, months=months))

    @precondition(lambda self: bool(supplies(self._desk)))
    @rule(data=st.data(), on=days, quantity=quantities)
    def throws_away(self, data: st.DataObject, on: date, quantity: int) -> None:
        chosen = data.draw(st.sampled_from(supplies(self._desk)))
        self._before = facts(self._store)
        throw_away(self._desk, chosen.id, quantity_milli=quantity, on=on)

    @precondition(lambda self: bool(supplies(self._desk)))
    @rule(data=st.data(), on=days, counted=quantities)
    def counts(self, data: st.DataObject, on: date, counted: int) -> None:
        chosen = data.draw(st.sampled_from(supplies(self._desk)))
        count_stock(self._desk, chosen.id, counted_milli=counted, on=on)
        self._before = None

    @precondition(lambda self: bool(self._entries()))
    @rule(data=st.data(), part=st.floats(0.01, 1))
    def sends_back(self, data: st.DataObject, part: float) -> None:
        chosen = data.draw(st.sampled_from(self._entries()))
        before = facts(self._store)
        quantity = chosen.quantity_milli and max(1, int(chosen.quantity_milli * part))
        try:
            refund(
                self._desk,
                chosen.id,
                on=chosen.on,
                minor=max(1, int(abs(chosen.minor) * part)),
                quantity_milli=quantity,
            )
        except RuleError:
            assert facts(self._store) == before
        else:
            self._before = before

    @precondition(lambda self: bool(self._entries()))
    @rule(data=st.data(), on=days, minor=amounts)
    def corrects(self, data: st.DataObject, on: date, minor: int) -> None:
        chosen = data.draw(st.sampled_from(self._entries()))
        before = facts(self._store)
        wanted = Correction(
            on=on,
            minor=minor if chosen.minor > 0 else -minor,
            category=chosen.category,
            quantity_milli=chosen.quantity_milli,
        )
        try:
            change_entry(self._desk, chosen.id, wanted)
        except (RuleError, InputError, OutOfRangeError):
            assert facts(self._store) == before
        else:
            self._before = None

    @precondition(lambda self: bool(self._entries()))
    @rule(data=st.data())
    def deletes(self, data: st.DataObject) -> None:
        chosen = data.draw(st.sampled_from(self._entries()))
        before = facts(self._store)
        try:
            delete_entry(self._desk, chosen.id)
        except DependentFactError:
            assert facts(self._store) == before
        else:
            self._before = before

    @rule()
    def takes_back_and_does_again(self) -> None:
        after = facts(self._store)
        try:
            undo(self._desk)
        except NotFoundError:
            return
        if self._before is not None:
            assert _without_costs(facts(self._store)) == _without_costs(self._before)
        assert_books_hold(self._store)
        redo(self._desk)
        assert _without_costs(facts(self._store)) == _without_costs(after)
        self._before = None

    @invariant()
    def books_hold(self) -> None:
        assert_books_hold(self._store)

    def _entries(self) -> tuple[Any, ...]:
        return entries(self._desk, first=FIRST, last=LAST)


def _without_costs(tables: dict[str, Any]) -> dict[str, Any]:
    """Leave out the cached valuation, which the invariant compares with a rebuild."""
    cached = {"cost_minor", "quantity_milli"}
    return {
        name: [
            {k: v for k, v in row.items() if name != "stock_use" or k not in cached}
            for row in rows
        ]
        for name, rows in tables.items()
    }


TestBooks = Books.TestCase
TestBooks.settings = settings(
    max_examples=settings().max_examples // 4, stateful_step_count=12, deadline=None
)
