"""The small language of conditions over readings: "ph outside range", "flow_l_min < 8"."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from typing_extensions import override

from tubcare.care.terms import Comparison
from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.care.facts import Range

_QUANTITY = re.compile(r"[a-z][a-z0-9_]{0,39}")
_RANGE_WORD = "range"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A comparison of the newest reading of one quantity with a limit.

    `limit` is in the quantity's own unit; None stands for the tub's own range: below its low end
    (`<`, `<=`), above its high end (`>`, `>=`) or outside both (`outside`).
    """

    quantity: str
    comparison: Comparison
    limit: float | None = None

    def __post_init__(self) -> None:
        if not _QUANTITY.fullmatch(self.quantity):
            raise InputError(
                "quantity", f"{self.quantity!r} is not a name such as ph or flow_l_min"
            )
        if self.limit is None:
            return
        if self.comparison is Comparison.OUTSIDE:
            raise InputError("limit", "outside compares with a range, not with a number")
        if not math.isfinite(self.limit):
            raise InputError("limit", "write a finite number")

    @override
    def __str__(self) -> str:
        limit = _RANGE_WORD if self.limit is None else f"{self.limit:g}"
        return f"{self.quantity} {self.comparison} {limit}"

    def holds(self, value: float, allowed: Range | None) -> bool:
        """Return whether `value` asks for work; a range that nobody set asks for none."""
        low = high = self.limit
        if self.limit is None:
            if allowed is None:
                return False
            low, high = allowed.low, allowed.high
        below = low is not None and (
            value < low or (self.comparison is Comparison.AT_MOST and value == low)
        )
        above = high is not None and (
            value > high or (self.comparison is Comparison.AT_LEAST and value == high)
        )
        if self.comparison in {Comparison.LESS, Comparison.AT_MOST}:
            return below
        if self.comparison in {Comparison.MORE, Comparison.AT_LEAST}:
            return above
        return below or above


def parse_condition(text: str) -> Condition:
    """Return the condition that `text` states.

    The form is ``quantity comparison limit``: a lower-case name, one of ``< <= > >= outside``, and
    a number or the word ``range``.

    Raises
    ------
    InputError
        Naming the part (condition, quantity, comparison, limit) that cannot be used.
    """
    words = text.split()
    if len(words) != 3:
        raise InputError("condition", f"write quantity, comparison and limit, not {text!r}")
    quantity, sign, limit_text = words
    try:
        comparison = Comparison(sign)
    except ValueError:
        known = " ".join(Comparison)
        raise InputError("comparison", f"{sign!r} is not one of {known}") from None
    if limit_text == _RANGE_WORD:
        return Condition(quantity=quantity, comparison=comparison)
    try:
        limit = float(limit_text)
    except ValueError:
        raise InputError("limit", f"{limit_text!r} is neither a number nor range") from None
    return Condition(quantity=quantity, comparison=comparison, limit=limit)
