"""What to ask about before a test of the water is written down; nothing is ever changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.measures import QUANTITY_BOUNDS
from tubcare.services.reading_kit import LastValue, unlikely_values
from tubcare.services.water_entry import entry_sheet, values_inside
from tubcare.water.doubt import DoubtKind, EntryDoubt
from tubcare.water.judged import FIELD_OF_READING
from tubcare.water.kit import OBSERVED

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.services.desk import Desk
    from tubcare.services.water_entry import Entry, EntrySheet
    from tubcare.values import TubId

_JUMPS = {"ph": 1.0, "alkalinity_mg_l": 60.0}
_READING_NOISE_MG_L = 0.1
# Observations have no unusual answers.
_TYPED = frozenset(QUANTITY_BOUNDS) - frozenset(OBSERVED)


def query_test(desk: Desk, tub: TubId | str | None, entry: Entry) -> tuple[EntryDoubt, ...]:
    """Return the values to ask about before they are kept; nothing is changed.

    A value far from the last one is no surprise where something was added in between.

    Raises
    ------
    InputError, OutOfRangeError
        When a value cannot be right at all.
    """
    sheet = entry_sheet(desk, tub)
    read = values_inside(sheet.kit, entry, desk.now())
    values = {name: seen.value for name, seen in read.items()}
    last = {
        name: LastValue(value=seen.value, on=seen.at.date()) for name, seen in sheet.last.items()
    }
    found = [
        EntryDoubt(
            kind=DoubtKind.JUMP if each.is_jump else DoubtKind.UNUSUAL,
            name=each.quantity,
            value=each.value,
            low=each.low,
            high=each.high,
            last=None if each.last is None else each.last.value,
        )
        for each in unlikely_values(values, last)
        if each.quantity in _TYPED
    ]
    asked = {each.name for each in found}
    found += [each for each in _jumps(values, last) if each.name not in asked]
    found = [each for each in found if not _explained(each, sheet)]
    free, total = values.get("free_chlorine_mg_l"), values.get("total_chlorine_mg_l")
    if free is not None and total is not None and total < free - _READING_NOISE_MG_L:
        found.append(
            EntryDoubt(
                kind=DoubtKind.TOTAL_BELOW_FREE,
                name="total_chlorine_mg_l",
                value=total,
                last=free,
            )
        )
    return tuple(found)


def _jumps(values: Mapping[str, float], last: Mapping[str, LastValue]) -> list[EntryDoubt]:
    return [
        EntryDoubt(kind=DoubtKind.JUMP, name=name, value=values[name], last=last[name].value)
        for name, jump in _JUMPS.items()
        if name in values and name in last and abs(values[name] - last[name].value) > jump
    ]


def _explained(doubt: EntryDoubt, sheet: EntrySheet) -> bool:
    """Return whether something was added since the value that this one is far from."""
    if doubt.kind is not DoubtKind.JUMP or doubt.name not in FIELD_OF_READING:
        return False
    return sheet.touched_at is not None and sheet.last[doubt.name].at <= sheet.touched_at
