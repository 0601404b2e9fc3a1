"""What people do with money and stock, and with what is measured."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.services.histories.club import (
    FIRST,
    LAST,
    Club,
    amounts,
    back,
    days_ago,
    quantities,
    which,
    who,
)
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.corrections import Correction, change_entry, delete_entry, refund
from tubcare.services.entries import METERED, Entry, entries
from tubcare.services.household import POWER_PRICE, change_person, change_setting, people
from tubcare.services.measures import QUANTITY_BOUNDS, MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading, delete_meter_reading
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
from tubcare.services.removal import (
    delete_dip,
    delete_fill,
    delete_person,
    delete_reading,
    delete_supply,
    delete_use,
)
from tubcare.services.supplies import change_supply, count_stock, new_supply, supplies, throw_away
from tubcare.services.tubs import tubs

categories = st.sampled_from(list(SpendCategory))
GUESTS = ("Cai", " Ann ", "")
NAMES = ("Filter", "Granules", "Strips", "Wood oil")


class MeasureRules(Club):
    """Dips, readings, meters and fills."""

    @rule(name=who, n=which, back=back, days=days_ago, person=st.sampled_from(GUESTS))
    def dips(self, name: str, n: int, back: bool, days: int, person: str) -> None:
        tub = self.pick(tubs(self.ann), n).id
        on, dips = self.ago(days), 1 + n % 30
        self.do(name, lambda d: add_dip(d, tub, dips=dips, on=on, person=person), back=back)

    @rule(name=who, n=which, back=back, days=days_ago, ph=st.floats(-1, 15))
    def reads(self, name: str, n: int, back: bool, days: int, ph: float) -> None:
        tub, on = self.pick(tubs(self.ann), n).id, self.ago(days)
        values = {"ph": ph, "water_c": 6.0}
        if n % 3 == 0:
            # As odd as a slip of the digits may be: anywhere in what can be written down.
            quantity = self.pick(sorted(QUANTITY_BOUNDS), n // 3)
            low, high = QUANTITY_BOUNDS[quantity]
            values[quantity] = low + (high - low) * (n % 11) / 10
        self.do(name, lambda d: add_readings(d, tub, values, on=on), back=back)

    @rule(name=who, n=which, back=back, days=days_ago, counter=st.sampled_from(["kwh", "pump_h"]))
    def reads_a_meter(self, name: str, n: int, back: bool, days: int, counter: str) -> None:
        tub, on = self.pick(tubs(self.ann), n).id, self.ago(days)
        value = (on - FIRST).days * 9000 + n if n % 5 else n
        shown = MeterValue(counter=counter, value_milli=value, new_meter=n % 10 == 0)
        self.do(name, lambda d: add_meter_reading(d, tub, shown, on=on), back=back)

    @rule(name=who, n=which, back=back, days=days_ago)
    def fills(self, name: str, n: int, back: bool, days: int) -> None:
        tub, on = self.pick(tubs(self.ann), n).id, self.ago(days)
        self.do(name, lambda d: add_fill(d, tub, n / 3, on=on), back=back)

    @rule(name=who, n=which, back=back, table=st.sampled_from(["dip", "reading", "fill", "meter"]))
    def deletes_what_was_measured(self, name: str, n: int, back: bool, table: str) -> None:
        rows = self.rows("meter_reading" if table == "meter" else table)
        if not rows:
            return
        chosen = self.pick(rows, n)["id"]
        delete = {
            "dip": delete_dip,
            "reading": delete_reading,
            "fill": delete_fill,
            "meter": delete_meter_reading,
        }[table]
        refunded = {row["refund_of"] for row in self.rows("entry")}
        charges = [row for row in self.rows("entry") if row["meter_reading_id"] or row["fill_id"]]
        done = self.do(name, lambda d: delete(d, chosen), back=back)
        assert done or any(row["id"] in refunded for row in charges)


class MoneyRules(Club):
    """Purchases, uses, refunds, corrections, budgets and names."""

    def entries(self) -> tuple[Entry, ...]:
        """Return every amount."""
        return entries(self.ann, first=FIRST, last=LAST)

    @rule(name=who, n=which, back=back, days=days_ago, minor=amounts, quantity=quantities)
    def buys(self, name: str, n: int, back: bool, days: int, minor: int, quantity: int) -> None:
        purchase = StockPurchase(
            on=self.ago(days),
            supply=self.pick(NAMES, n),
            unit="g",
            category=SpendCategory.CHEMICALS,
            quantity_milli=quantity,
            minor=minor,
        )
        self.do(name, lambda d: buy_stock(d, purchase), back=back)

    @rule(name=who, n=which, back=back, days=days_ago, minor=amounts, category=categories)
    def pays(
        self, name: str, n: int, back: bool, days: int, minor: int, category: SpendCategory
    ) -> None:
        on = self.ago(days)
        tub = self.pick(tubs(self.ann), n).id
        if n % 3:
            bill = DirectPurchase(on=on, category=category, minor=minor, belongs=Belongs(tub=tub))
            self.do(name, lambda d: pay(d, bill), back=back)
        else:
            build = BuildCost(on=on, minor=minor, months=1 + n % 40, belongs=Belongs(tub=tub))
            self.do(name, lambda d: add_build_cost(d, build), back=back)

    @precondition(lambda self: bool(self.entries()))
    @rule(name=who, n=which, back=back, part=st.floats(0.01, 1.1), days=st.integers(-30, 20))
    def sends_back(self, name: str, n: int, back: bool, part: float, days: int) -> None:
        chosen = self.pick(self.entries(), n)
        quantity = chosen.quantity_milli and int(chosen.quantity_milli * part)
        minor, on = int(abs(chosen.minor) * part), self.ago(days)
        self.do(
            name,
            lambda d: refund(d, chosen.id, on=on, minor=minor, quantity_milli=quantity),
            back=back,
        )

    @precondition(lambda self: bool(self.entries()))
    @rule(name=who, n=which, back=back, days=days_ago, minor=amounts, category=categories)
    def corrects(
        self, name: str, n: int, back: bool, days: int, minor: int, category: SpendCategory
    ) -> None:
        chosen = self.pick(self.entries(), n)
        wanted = Correction(
            on=self.ago(days),
            minor=-minor if chosen.minor < 0 else minor,
            category=category,
            quantity_milli=chosen.quantity_milli,
            payee="Shop",
        )
        self.do(name, lambda d: change_entry(d, chosen.id, wanted), back=back)

    @precondition(lambda self: bool(self.entries()))
    @rule(name=who, n=which, back=back)
    def deletes_or_ends(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(self.entries(), n)
        if chosen.kind == "build" and n % 2:
            on = self.ago(n % 9 - 4)
            self.do(name, lambda d: end_use(d, chosen.id, on), back=back)
            return
        held = chosen.kind in METERED or any(e.refund_of == chosen.id for e in self.entries())
        assert self.do(name, lambda d: delete_entry(d, chosen.id), back=back) == (not held)

    @rule(name=who, n=which, back=back, days=days_ago, quantity=quantities)
    def counts_or_throws_away(
        self, name: str, n: int, back: bool, days: int, quantity: int
    ) -> None:
        known = supplies(self.ann)
        if not known:
            return
        supply, on = self.pick(known, n).id, self.ago(days)
        if n % 2:
            self.do(
                name, lambda d: count_stock(d, supply, counted_milli=quantity, on=on), back=back
            )
        else:
            self.do(
                name, lambda d: throw_away(d, supply, quantity_milli=quantity, on=on), back=back
            )

    @precondition(lambda self: bool(self.rows("stock_use")))
    @rule(name=who, n=which, back=back)
    def deletes_a_use(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(self.rows("stock_use"), n)["id"]
        assert self.do(name, lambda d: delete_use(d, chosen), back=back)

    @rule(name=who, n=which, back=back, category=categories)
    def changes_a_supply(self, name: str, n: int, back: bool, category: SpendCategory) -> None:
        known = supplies(self.ann)
        named = self.pick(NAMES, n)
        if not known or n % 3 == 0:
            self.do(
                name, lambda d: new_supply(d, name=named, unit="g", category=category), back=back
            )
            return
        changed = replace(self.pick(known, n), name=named, category=category, low_milli=n)
        self.do(name, lambda d: change_supply(d, changed), back=back)

    @precondition(lambda self: bool(self.rows("supply")))
    @rule(name=who, n=which, back=back)
    def deletes_a_supply(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(self.rows("supply"), n)["id"]
        named = any(
            row["supply_id"] == chosen
            for table in ("entry", "stock_use", "task_supply", "dose", "water_product")
            for row in self.rows(table)
        )
        assert self.do(name, lambda d: delete_supply(d, chosen), back=back) == (not named)

    @precondition(lambda self: bool(self.rows("person")))
    @rule(name=who, n=which, back=back)
    def changes_or_deletes_a_person(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(people(self.ann), n)
        if n % 2:
            new_name = ("Cai", "Dee", "Ann", "")[n % 4]
            renamed = replace(chosen, name=new_name, digest_minute=n % 1500)
            if chosen.name == "Cai":
                self.do(name, lambda d: change_person(d, renamed), back=back)
            return
        tables = [t for t in self.last_facts.values() if t and "person_id" in t[0]]
        named = any(row["person_id"] == chosen.id for rows in tables for row in rows)
        assert self.do(name, lambda d: delete_person(d, chosen.id), back=back) == (not named)

    @rule(name=who, n=which, back=back, category=categories)
    def sets_a_budget_or_price(
        self, name: str, n: int, back: bool, category: SpendCategory
    ) -> None:
        if n % 2:
            minor = None if n % 3 == 0 else n
            self.do(name, lambda d: set_budgets(d, 2026, {category: minor}), back=back)
        else:
            self.do(name, lambda d: change_setting(d, POWER_PRICE, f"0.{n % 90 + 10}"), back=back)

    @rule(name=who)
    def takes_back(self, name: str) -> None:
        self.take_back(name)

    @rule(name=who)
    def does_again(self, name: str) -> None:
        self.do_again(name)
