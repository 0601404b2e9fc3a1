"""Stock of one supply valued at moving average, by replaying its facts.

The rules: money and quantities are integers; value that leaves is rounded half even, and what
empties the shelf takes the rest. Within a day purchases come first, then refunds, then uses and
what expired, and a stock-take counts at the end of the day. More may leave than lies there: the
missing part is valued at the last average, and the next purchase settles it, oldest first, the
difference being booked on the use. A refund lowers the value on the shelf; what the shelf cannot
bear, or keeps too much of, is booked on the refund.
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tubcare.errors import InputError
from tubcare.ledger.money import divide_half_even
from tubcare.ledger.stock_facts import (
    Expired,
    Purchase,
    PurchaseRefund,
    ShortPart,
    StockCost,
    StockFact,
    StockFlag,
    StockKind,
    StockReplay,
    StockState,
    StockTake,
    Use,
    order_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

_NOTHING = StockState()
_Key = tuple[StockKind, int]
_Flags = frozenset[StockFlag]


def replay(facts: Iterable[StockFact], start: StockState = _NOTHING) -> StockReplay:
    """Value one supply's facts on from `start`; the facts may come in any order.

    A fact after the last that `start` has seen is valued alone; for any other, the replay begins
    earlier and all later facts are handed in again.

    Raises
    ------
    InputError
        If a fact comes twice, or stands before the last one that `start` has seen.
    """
    ordered = sorted(facts, key=order_of)
    if ordered and start.last is not None and order_of(ordered[0]) <= start.last:
        raise InputError("date", f"{ordered[0].on} lies before the start of the replay")
    shelf = _Shelf(start)
    for fact in ordered:
        shelf.apply(fact)
    last = order_of(ordered[-1]) if ordered else start.last
    return shelf.result(last)


class _Short(NamedTuple):
    key: _Key
    milli: int
    valued: int


class _Shelf:
    """The shelf while facts are played back; lives only inside one replay."""

    def __init__(self, start: StockState) -> None:
        self._milli = start.quantity_milli
        self._value = start.value_minor
        self._average = (start.average_minor, start.average_milli)
        self._costs: dict[_Key, StockCost] = {}
        self._short: deque[_Short] = deque()
        for part in start.short:
            key = (part.cost.kind, part.cost.id)
            self._costs[key] = part.cost
            self._short.append(_Short(key, part.short_milli, part.valued_minor))

    def apply(self, fact: StockFact) -> None:
        match fact:
            case Purchase():
                self._buy(fact)
            case PurchaseRefund():
                self._give_back(fact)
            case StockTake():
                self._count(fact)
            case _:
                self._take(fact)

    def result(self, last: tuple[date, int, int] | None) -> StockReplay:
        state = StockState(
            quantity_milli=self._milli,
            value_minor=self._value,
            average_minor=self._average[0],
            average_milli=self._average[1],
            short=tuple(
                ShortPart(cost=self._costs[key], short_milli=milli, valued_minor=valued)
                for key, milli, valued in self._short
            ),
            last=last,
        )
        return StockReplay(costs=tuple(self._costs.values()), state=state)

    def _buy(self, fact: Purchase) -> None:
        if self._milli < 0:
            self._settle(fact)
        else:
            self._value += fact.minor
        self._milli += fact.quantity_milli
        self._average = (
            (self._value, self._milli) if self._milli > 0 else (fact.minor, fact.quantity_milli)
        )

    def _settle(self, fact: Purchase) -> None:
        """Give what is short its share of the purchase; the rest goes on the shelf."""
        wanted = min(fact.quantity_milli, -self._milli)
        money = divide_half_even(fact.minor * wanted, fact.quantity_milli)
        given_milli = given = 0
        while given_milli < wanted:
            part = self._short.popleft()
            milli = min(part.milli, wanted - given_milli)
            valued = divide_half_even(part.valued * milli, part.milli)
            given_milli += milli
            share = divide_half_even(money * given_milli, wanted) - given
            given += share
            if milli < part.milli:
                rest = _Short(part.key, part.milli - milli, part.valued - valued)
                self._short.appendleft(rest)
            self._value += valued
            self._book_difference(part.key, share - valued, whole=milli == part.milli)
        self._value += fact.minor - money

    def _book_difference(self, key: _Key, minor: int, *, whole: bool) -> None:
        cost = self._costs[key]
        outdated = {StockFlag.UNPRICED} if whole else set[StockFlag]()
        self._costs[key] = replace(
            cost,
            minor=cost.minor + minor,
            settled_minor=cost.settled_minor + minor,
            flags=(cost.flags | {StockFlag.SETTLED}) - outdated,
        )

    def _take(self, fact: Use | Expired) -> None:
        value, flags = self._lower(fact.kind, fact.id, fact.quantity_milli)
        self._book(fact, fact.quantity_milli, value, flags)

    def _lower(self, kind: StockKind, fact_id: int, milli: int) -> tuple[int, _Flags]:
        """Take a quantity off the shelf, into the red if need be; return its value and flags."""
        if milli < self._milli:
            value = divide_half_even(self._value * milli, self._milli)
            flags: _Flags = frozenset()
        else:
            held = max(self._milli, 0)
            short = milli - held
            valued, flags = self._at_average(short)
            value = valued + (self._value if held else 0)
            if short:
                self._short.append(_Short((kind, fact_id), short, valued))
                flags |= {StockFlag.SHORT}
        self._milli -= milli
        self._value -= value
        return value, flags

    def _at_average(self, milli: int) -> tuple[int, _Flags]:
        """Return the value of a quantity at the last average."""
        minor, per_milli = self._average
        if not milli:
            return 0, frozenset()
        if not per_milli:
            return 0, frozenset({StockFlag.UNPRICED})
        return divide_half_even(minor * milli, per_milli), frozenset()

    def _give_back(self, fact: PurchaseRefund) -> None:
        if fact.quantity_milli < self._milli:
            value, flags = min(fact.minor, self._value), frozenset[StockFlag]()
            self._milli -= fact.quantity_milli
            self._value -= value
            self._average = (self._value, self._milli)
        else:
            value, flags = (
                self._lower(fact.kind, fact.id, fact.quantity_milli)
                if fact.quantity_milli
                else (0, frozenset[StockFlag]())
            )
        if fact.minor > value:
            flags |= {StockFlag.ABOVE_SHELF}
        self._book(fact, fact.quantity_milli, value - fact.minor, flags)

    def _count(self, fact: StockTake) -> None:
        missing = self._milli - fact.counted_milli
        if missing >= 0 and self._milli > 0:
            value, flags = self._lower(fact.kind, fact.id, missing)
        else:
            # Found, or a shelf in the red that was never so: what is missing on paper was there.
            worth, flags = self._at_average(fact.counted_milli - max(self._milli, 0))
            held = self._value if self._milli > 0 else 0
            value = self._value - held - worth
            self._short.clear()
            self._milli, self._value = fact.counted_milli, held + worth
            flags |= {StockFlag.SURPLUS} if missing else frozenset()
        self._book(fact, missing, value, flags)

    def _book(
        self,
        fact: PurchaseRefund | Use | Expired | StockTake,
        milli: int,
        minor: int,
        flags: _Flags,
    ) -> None:
        key = (fact.kind, fact.id)
        if key in self._costs:
            raise InputError("id", f"{fact.kind} {fact.id} comes twice")
        self._costs[key] = StockCost(
            kind=fact.kind,
            id=fact.id,
            on=fact.on,
            quantity_milli=milli,
            minor=minor,
            flags=flags,
        )
