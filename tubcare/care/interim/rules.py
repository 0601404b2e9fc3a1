"""Dates of a calendar trigger around a day."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from tubcare.care.recurrence import compile_rule


class Recurrence:
    """A compiled rule, asked by dates."""

    __slots__ = ("_gap", "_rule", "_start")

    def __init__(self, text: str, start: date) -> None:
        self._rule = compile_rule(text, start)
        self._start = start.toordinal()
        self._gap = max(7, self._rule.gap_days)

    def between(self, first: date, last: date) -> list[date]:
        """Return the dates in first..last."""
        low = max(first.toordinal(), self._start)
        return [date.fromordinal(n) for n in self._rule.scan(low, last.toordinal())]

    def on_or_after(self, day: date) -> date | None:
        """Return the first date from a day on."""
        found = self._rule.first(max(day.toordinal(), self._start))
        return None if found is None else date.fromordinal(found)

    def on_or_before(self, day: date) -> date | None:
        """Return the newest date up to a day."""
        high, span = day.toordinal(), self._gap
        while high >= self._start:
            low = max(high - span, self._start)
            found = self._rule.scan(low, high)
            if found:
                return date.fromordinal(found[-1])
            high, span = low - 1, span * 2
        return None


@lru_cache(maxsize=4096)
def recurrence(text: str, start: date) -> Recurrence:
    """Return the compiled rule; the same rule is compiled once."""
    return Recurrence(text, start)
