"""Why a cost changed: because the price did, or the quantity, or both together.

With price p and quantity q, before (0) and after (1): price effect (p1 - p0) * q0, quantity effect
(q1 - q0) * p0, joint effect (p1 - p0) * (q1 - q0). A supply or meter is compared with itself and
in one unit only; what has no quantity, changed its unit, or is new or gone is told as *other*.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import OutOfRangeError
from tubcare.ledger.money import divide_half_even

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemCost:
    """What one supply or meter cost in a period, and how much of it there was.

    `key` names it in both periods. `quantity_milli` is in thousandths of `unit`, None where
    nothing was counted.
    """

    key: str
    minor: int
    unit: str = ""
    quantity_milli: int | None = None

    def __post_init__(self) -> None:
        """Refuse a negative quantity."""
        if self.quantity_milli is not None and self.quantity_milli < 0:
            raise OutOfRangeError("quantity_milli", self.quantity_milli, 0, float("inf"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Effects:
    """A change of cost in four parts, in minor units; `key` is empty for a sum."""

    key: str = ""
    price_minor: int = 0
    quantity_minor: int = 0
    joint_minor: int = 0
    other_minor: int = 0

    @property
    def change_minor(self) -> int:
        """The whole change: the parts add up to it exactly."""
        return self.price_minor + self.quantity_minor + self.joint_minor + self.other_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectsTable:
    """The effects of every supply and meter, largest change first, and their sum."""

    items: tuple[Effects, ...]
    total: Effects


def effects(before: Iterable[ItemCost], after: Iterable[ItemCost]) -> EffectsTable:
    """Split the change between two periods by supply or meter; equal keys are added up first.

    Price and quantity effect are rounded half even, the joint effect takes what rounding leaves.
    """
    old, new = _by_key(before), _by_key(after)
    items = [_effects_of(key, old.get(key), new.get(key)) for key in old | new]
    items.sort(key=lambda item: (-abs(item.change_minor), item.key))
    total = Effects(
        price_minor=sum(item.price_minor for item in items),
        quantity_minor=sum(item.quantity_minor for item in items),
        joint_minor=sum(item.joint_minor for item in items),
        other_minor=sum(item.other_minor for item in items),
    )
    return EffectsTable(items=tuple(items), total=total)


def _by_key(costs: Iterable[ItemCost]) -> dict[str, ItemCost]:
    found: dict[str, ItemCost] = {}
    for cost in costs:
        known = found.get(cost.key)
        found[cost.key] = cost if known is None else _added(known, cost)
    return found


def _added(one: ItemCost, two: ItemCost) -> ItemCost:
    countable = (
        one.unit == two.unit and one.quantity_milli is not None and two.quantity_milli is not None
    )
    return ItemCost(
        key=one.key,
        minor=one.minor + two.minor,
        unit=one.unit,
        quantity_milli=(one.quantity_milli or 0) + (two.quantity_milli or 0)
        if countable
        else None,
    )


def _effects_of(key: str, old: ItemCost | None, new: ItemCost | None) -> Effects:
    change = (new.minor if new else 0) - (old.minor if old else 0)
    if old is None or new is None or old.unit != new.unit:
        return Effects(key=key, other_minor=change)
    if not old.quantity_milli or not new.quantity_milli:
        return Effects(key=key, other_minor=change)
    price = divide_half_even(new.minor * old.quantity_milli, new.quantity_milli) - old.minor
    quantity = divide_half_even(old.minor * new.quantity_milli, old.quantity_milli) - old.minor
    return Effects(
        key=key,
        price_minor=price,
        quantity_minor=quantity,
        joint_minor=change - price - quantity,
    )
