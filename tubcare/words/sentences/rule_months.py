"""The months that a recurrence rule keeps to, as the end of its sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.lists import all_of
from tubcare.words.terms import say_term, term

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech

_IN_MONTH = (
    term("in month", "January"),
    term("in month", "February"),
    term("in month", "March"),
    term("in month", "April"),
    term("in month", "May"),
    term("in month", "June"),
    term("in month", "July"),
    term("in month", "August"),
    term("in month", "September"),
    term("in month", "October"),
    term("in month", "November"),
    term("in month", "December"),
)
_FROM_MONTH = (
    term("from month", "January"),
    term("from month", "February"),
    term("from month", "March"),
    term("from month", "April"),
    term("from month", "May"),
    term("from month", "June"),
    term("from month", "July"),
    term("from month", "August"),
    term("from month", "September"),
    term("from month", "October"),
    term("from month", "November"),
    term("from month", "December"),
)
_TO_MONTH = (
    term("to month", "January"),
    term("to month", "February"),
    term("to month", "March"),
    term("to month", "April"),
    term("to month", "May"),
    term("to month", "June"),
    term("to month", "July"),
    term("to month", "August"),
    term("to month", "September"),
    term("to month", "October"),
    term("to month", "November"),
    term("to month", "December"),
)
_SPAN_MONTHS = 3
"""So many months in a row are told by the first and the last."""


def in_months(speech: Speech, rule: str, months: Sequence[int]) -> str:
    """Return a rule with its months: “from September to May” where they follow each other.

    Parameters
    ----------
    months
        1 for January; none leaves the rule as it is.
    """
    if not months:
        return rule
    span = _span(months)
    if span is not None:
        first, last = span
        return speech.say(
            "{rule} from {first} to {last}",
            rule=rule,
            first=say_term(speech, _FROM_MONTH[first - 1]),
            last=say_term(speech, _TO_MONTH[last - 1]),
        )
    names = all_of(speech, [say_term(speech, _IN_MONTH[month - 1]) for month in months])
    return speech.say("{rule} in {months}", rule=rule, months=names)


def _span(months: Sequence[int]) -> tuple[int, int] | None:
    """Return the first and last of months that follow each other, also over New Year."""
    chosen = set(months)
    if len(chosen) < _SPAN_MONTHS:
        return None
    starts = [month for month in sorted(chosen) if (month - 2) % 12 + 1 not in chosen] or [1]
    if len(starts) > 1:
        return None
    return starts[0], (starts[0] + len(chosen) - 2) % 12 + 1
