"""What was bought when and how long it keeps, and what the shelf lacks for some work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from tubcare.values import SupplyId


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfNote:
    """What one supply lacks for some work. Quantities in thousandths of the unit.

    `left_milli` lies there when the work comes, `earlier_milli` goes to work before it.
    `keeps_until` is the last good day of some that lies there, None where all keeps long enough.
    """

    supply: SupplyId
    name: str
    unit: str
    left_milli: int
    takes_milli: int
    earlier_milli: int = 0
    keeps_until: date | None = None

    @property
    def is_short(self) -> bool:
        """Whether the work takes more than there is."""
        return self.takes_milli > self.left_milli


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """What was bought at one time, and the last day on which it is good."""

    quantity_milli: int
    keeps_until: date | None


def keeps_until(lots: Iterable[Lot], left_milli: int) -> date | None:
    """Return the day from which on not all that is left is good; None for never.

    What was bought first is taken to be used first, so that the newest purchases lie there.
    """
    days = []
    for lot in lots:
        if left_milli <= 0:
            break
        if lot.keeps_until is not None:
            days.append(lot.keeps_until)
        left_milli -= lot.quantity_milli
    return min(days, default=None)
