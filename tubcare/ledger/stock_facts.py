"""What happens to one supply, and what a replay of it says.

Quantities are whole thousandths of the supply's unit, money whole minor units.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.money import check_minor

if TYPE_CHECKING:
    from datetime import date

MAX_QUANTITY_MILLI = 10**9
"""Largest quantity that is taken for meant: a million kilograms, litres or pieces."""


class StockKind(StrEnum):
    """Kind of a fact. With the fact's id it names it: purchases and uses are counted apart."""

    PURCHASE = "purchase"
    REFUND = "refund"
    USE = "use"
    EXPIRED = "expired"
    STOCK_TAKE = "stock_take"


class StockFlag(StrEnum):
    """What a person should look at."""

    SHORT = "short"
    """More left than lay there; the missing part is valued at the last average."""
    SETTLED = "settled"
    """A later purchase has put the cost of the missing part right, in part or whole."""
    UNPRICED = "unpriced"
    """No price is known yet, so (part of) it stands at nothing."""
    SURPLUS = "surplus"
    """The stock-take found more than was written down."""
    ABOVE_SHELF = "above_shelf"
    """More money came back than the shelf was worth; the rest lowers what was used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Bought for the shelf. A gift costs 0."""

    kind: ClassVar[StockKind] = StockKind.PURCHASE
    id: int
    on: date
    quantity_milli: int
    minor: int

    def __post_init__(self) -> None:
        """Refuse a quantity or amount that cannot be right."""
        _check_quantity("quantity_milli", self.quantity_milli, 1)
        check_minor("minor", self.minor)


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseRefund:
    """Money came back for a purchase, with what was handed in; 0 when only the price was cut."""

    kind: ClassVar[StockKind] = StockKind.REFUND
    id: int
    on: date
    quantity_milli: int
    minor: int

    def __post_init__(self) -> None:
        """Refuse a quantity or amount that cannot be right."""
        _check_quantity("quantity_milli", self.quantity_milli, 0)
        check_minor("minor", self.minor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Used up."""

    kind: ClassVar[StockKind] = StockKind.USE
    id: int
    on: date
    quantity_milli: int

    def __post_init__(self) -> None:
        """Refuse a quantity that cannot be right."""
        _check_quantity("quantity_milli", self.quantity_milli, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Expired:
    """Thrown away unused."""

    kind: ClassVar[StockKind] = StockKind.EXPIRED
    id: int
    on: date
    quantity_milli: int

    def __post_init__(self) -> None:
        """Refuse a quantity that cannot be right."""
        _check_quantity("quantity_milli", self.quantity_milli, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockTake:
    """What was counted on the shelf at the end of the day."""

    kind: ClassVar[StockKind] = StockKind.STOCK_TAKE
    id: int
    on: date
    counted_milli: int

    def __post_init__(self) -> None:
        """Refuse a quantity that cannot be right."""
        _check_quantity("counted_milli", self.counted_milli, 0)


StockFact = Purchase | PurchaseRefund | Use | Expired | StockTake

StockOrder = tuple["date", int, int]
"""Where a fact stands: its day, its rank within the day, its id."""

_RANK = {
    StockKind.PURCHASE: 0,
    StockKind.REFUND: 1,
    StockKind.USE: 2,
    StockKind.EXPIRED: 2,
    StockKind.STOCK_TAKE: 3,
}


def order_of(fact: StockFact) -> StockOrder:
    """Return where a fact stands: purchases, refunds, what left, and the count that ends a day."""
    return fact.on, _RANK[fact.kind], fact.id


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCost:
    """What one fact cost in the *used* view.

    Parameters
    ----------
    quantity_milli
        What left the shelf. For a stock-take what was missing, negative when more was found.
    minor
        Its whole cost, later settlement included. For a refund the difference between what left
        the shelf and the money that came back. Negative for a gain.
    settled_minor
        The part of `minor` that later purchases booked on it.
    """

    kind: StockKind
    id: int
    on: date
    quantity_milli: int
    minor: int
    settled_minor: int = 0
    flags: frozenset[StockFlag] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortPart:
    """Something that left without having lain there and waits for a purchase to settle it."""

    cost: StockCost
    short_milli: int
    valued_minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StockState:
    """One supply between two facts: all that a replay needs to go on from here.

    `quantity_milli` is negative while stock is short; `value_minor` is then the provisional value
    of what is missing, also negative. The last average is kept as value over quantity, as of the
    last time that it changed; `average_milli` is 0 while no price is known.
    """

    quantity_milli: int = 0
    value_minor: int = 0
    average_minor: int = 0
    average_milli: int = 0
    short: tuple[ShortPart, ...] = ()
    last: StockOrder | None = None

    def __post_init__(self) -> None:
        """Refuse a state that no history can lead to."""
        missing = sum(part.short_milli for part in self.short)
        valued = sum(part.valued_minor for part in self.short)
        if self.quantity_milli > 0:
            check_minor("value_minor", self.value_minor, 0, 10**18)
        if missing != max(0, -self.quantity_milli):
            raise InputError("stock", "what is short does not add up to the quantity")
        if self.quantity_milli <= 0 and self.value_minor != -valued:
            raise InputError("stock", "an empty shelf has no value")

    @classmethod
    def opening(cls, *, quantity_milli: int, value_minor: int) -> StockState:
        """Return the stock with which a logbook begins; its value sets the first average."""
        _check_quantity("quantity_milli", quantity_milli, 0)
        check_minor("value_minor", value_minor)
        return cls(
            quantity_milli=quantity_milli,
            value_minor=value_minor,
            average_minor=value_minor,
            average_milli=quantity_milli,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StockReplay:
    """What a replay says.

    Parameters
    ----------
    costs
        The cost of every fact but the purchases, in order; before them those from before the
        start that were still short there, as they stand now. Costs not listed are unchanged.
    state
        The supply after the last fact.
    """

    costs: tuple[StockCost, ...]
    state: StockState


def _check_quantity(name: str, quantity_milli: int, low: int) -> None:
    if not low <= quantity_milli <= MAX_QUANTITY_MILLI:
        raise OutOfRangeError(name, quantity_milli, low, MAX_QUANTITY_MILLI)
