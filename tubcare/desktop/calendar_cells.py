"""Where things stand in the cell of a day; drawing and pointing both ask here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect

if TYPE_CHECKING:
    from collections.abc import Collection

    from PySide6.QtGui import QFontMetrics

    from tubcare.services.calendar import Day, Line
    from tubcare.services.calendar_season import SeasonTurn

MARGIN = 4
GAP = 2
_PADDING = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLine:
    """A line with its place among the lines of the day and its rectangle."""

    place: int
    line: Line
    rect: QRect


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What has room in the cell of a day. `hidden` lines had none; `more` says so."""

    head: QRect
    turns: tuple[tuple[SeasonTurn, QRect], ...]
    lines: tuple[PlacedLine, ...]
    hidden: int
    more: QRect

    def line_at(self, point: QPoint) -> PlacedLine | None:
        """Return the line that a point lies on."""
        return next((each for each in self.lines if each.rect.contains(point)), None)


def line_height(metrics: QFontMetrics) -> int:
    """Return the height of one line, in logical pixels."""
    return metrics.height() + _PADDING


def cell_of(
    rect: QRect,
    metrics: QFontMetrics,
    day: Day,
    chosen: int | None = None,
    *,
    long: Collection[int] = (),
) -> Cell:
    """Return what has room in a cell.

    Turns of the season come first, then lines; the last free place says how many more there are.
    The chosen line is always among those shown. On a day with room to spare the lines at the
    places `long` get two places each, as far as it goes.
    """
    height = line_height(metrics)
    inside = rect.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    head = QRect(inside.left(), inside.top(), inside.width(), height)
    room = max(0, (inside.height() - height) // (height + GAP))
    slots = [
        QRect(inside.left(), inside.top() + (at + 1) * (height + GAP), inside.width(), height)
        for at in range(room)
    ]
    turns = tuple(zip(day.turns, slots, strict=False))
    free = slots[len(turns) :]
    count = len(day.lines)
    fitting = count if count <= len(free) else max(0, len(free) - 1)
    first = 0
    if chosen is not None and fitting and chosen >= fitting:
        first = min(chosen, count - 1) - fitting + 1
    spare, at = max(0, len(free) - count), 0
    lines = []
    for place in range(first, first + fitting):
        rect = free[at]
        if spare and place in long:
            spare, at = spare - 1, at + 1
            rect = rect.united(free[at])
        lines.append(PlacedLine(place=place, line=day.lines[place], rect=rect))
        at += 1
    more = free[-1] if free else head.adjusted(head.width() // 2, 0, 0, 0)
    return Cell(head=head, turns=turns, lines=tuple(lines), hidden=count - fitting, more=more)


def in_two(metrics: QFontMetrics, text: str, width: int) -> tuple[str, str]:
    """Return the words that fit on a first line, and the rest; a word too long stands whole."""
    above, *rest = text.split(" ")
    while rest and metrics.horizontalAdvance(f"{above} {rest[0]}") <= width:
        above = f"{above} {rest.pop(0)}"
    return above, " ".join(rest)
