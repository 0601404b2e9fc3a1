"""Draws the days of the calendar: season as shading, each kind of entry with its own shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem
from typing_extensions import override

from tubcare.desktop.calendar_cells import MARGIN, Cell, PlacedLine, cell_of, in_two, line_height
from tubcare.desktop.calendar_words import line_mark, line_name, turn_in_cell
from tubcare.services.calendar import Day, EntryKind
from tubcare.words.dates import day_and_month, relative_day
from tubcare.words.numbers import number

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtCore import QObject
    from PySide6.QtGui import QFontMetrics

    from tubcare.desktop.calendar_model import MonthModel, MonthShown
    from tubcare.desktop.icons import Icons
    from tubcare.desktop.theme import Theme

ICON = 14
_SHADE = 0.7
_ROUND = 4.0
_LEAST_LINES = 3
_BESIDE_ICON = 7
_AFTER_TEXT = 3


def season_shade(theme: Theme) -> QColor:
    """Return the colour of the open season: the theme's band, thinned so that all text is read."""
    band, base = theme.shades.colour("band"), theme.shades.colour("base")
    parts = ((band.red(), base.red()), (band.green(), base.green()), (band.blue(), base.blue()))
    return QColor(*(round(one * _SHADE + other * (1 - _SHADE)) for one, other in parts))


def fill_season(painter: QPainter, rect: QRect, theme: Theme, *, planned: bool) -> None:
    """Shade a rectangle as open season: whole on record, hatched while it is only planned."""
    if planned:
        painter.fillRect(rect, QBrush(theme.shades.colour("band"), Qt.BrushStyle.BDiagPattern))
    else:
        painter.fillRect(rect, season_shade(theme))


def frame_line(painter: QPainter, rect: QRect, theme: Theme, *, foreseen: bool) -> None:
    """Draw the outline of an entry: whole for what is open, broken for what is foreseen."""
    style = Qt.PenStyle.DashLine if foreseen else Qt.PenStyle.SolidLine
    painter.setPen(QPen(theme.shades.colour("border"), 1, style))
    if foreseen:
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        painter.setBrush(theme.shades.colour("base"))
    painter.drawRoundedRect(QRectF(rect).adjusted(0.5, 0.5, -0.5, -0.5), _ROUND, _ROUND)


class DayDelegate(QStyledItemDelegate):
    """Draws one day; `chosen` is the entry that the keyboard is on, `target` where a drag is."""

    def __init__(self, model: MonthModel, theme: Theme, icons: Icons, parent: QObject) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme
        self._icons = icons
        self.chosen: tuple[date, int] | None = None
        self.target: date | None = None

    def cell(self, rect: QRect, option: QStyleOptionViewItem, day: Day) -> Cell:
        """Return what has room in the cell of a day."""
        metrics, shown = option.fontMetrics, self._model.shown
        room = rect.width() - 2 * MARGIN - ICON - _BESIDE_ICON - _AFTER_TEXT
        long = () if shown is None else self._long(metrics, day, shown, room)
        return cell_of(rect, metrics, day, self._chosen_on(day), long=long)

    @override
    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the room for the number of the day and a few lines."""
        height = (line_height(option.fontMetrics) + 2) * (_LEAST_LINES + 1)
        return QSize(option.fontMetrics.averageCharWidth() * 10, height)

    @override
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the day: shading, number, turns of the season, lines."""
        day, shown = self._model.day_at(index), self._model.shown
        if day is None or shown is None:
            return
        rect: QRect = option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._ground(painter, rect, day, inside=day.on.month == shown.month.month)
        cell = self.cell(rect, option, day)
        self._head(painter, cell, day, shown)
        painter.setPen(self._theme.shades.colour("text"))
        for turn, place in cell.turns:
            self._text(
                painter, place.adjusted(2, 0, -2, 0), turn_in_cell(shown.speech, turn), bold=True
            )
        for placed in cell.lines:
            self._line(painter, placed, shown, chosen=placed.place == self._chosen_on(day))
        if cell.hidden:
            self._more(painter, cell, shown)
        self._frames(painter, rect, day)
        painter.restore()

    def _long(
        self, metrics: QFontMetrics, day: Day, shown: MonthShown, room: int
    ) -> frozenset[int]:
        """Return the places of the lines whose name needs more than one line."""
        tubs = len(shown.calendar.seasons)
        return frozenset(
            place
            for place, line in enumerate(day.lines)
            if metrics.horizontalAdvance(line_name(shown.speech, line, tubs=tubs)) > room
        )

    def _chosen_on(self, day: Day) -> int | None:
        return self.chosen[1] if self.chosen is not None and self.chosen[0] == day.on else None

    def _ground(self, painter: QPainter, rect: QRect, day: Day, *, inside: bool) -> None:
        shades = self._theme.shades
        painter.fillRect(rect, shades.colour("base" if inside else "window"))
        opened = [tub for tub in day.tubs if tub.is_open]
        if opened:
            planned = all(tub.planned for tub in opened)
            fill_season(painter, rect, self._theme, planned=planned)

    def _head(self, painter: QPainter, cell: Cell, day: Day, shown: MonthShown) -> None:
        speech, today = shown.speech, shown.calendar.today
        short = told = str(day.on.day)
        if day.on.day == 1:
            told = day_and_month(speech, day.on)
        if day.on == today:
            told = f"{told} · {relative_day(speech, day.on, today)}"
        inside = day.on.month == shown.month.month
        painter.setPen(self._theme.shades.colour("text" if inside else "muted"))
        place = cell.head.adjusted(2, 0, -2, 0)
        self._text(painter, place, told, short, bold=day.on == today)

    def _line(
        self, painter: QPainter, placed: PlacedLine, shown: MonthShown, *, chosen: bool
    ) -> None:
        line, rect, shades = placed.line, placed.rect, self._theme.shades
        mark = line_mark(line)
        if chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(shades.colour("highlight"))
            painter.drawRoundedRect(QRectF(rect), _ROUND, _ROUND)
        elif line.kind is not EntryKind.CLOSED:
            frame_line(painter, rect, self._theme, foreseen=line.kind is EntryKind.FORESEEN)
        colour = "highlighted_text" if chosen else mark.colour
        scale = painter.device().devicePixelRatioF()
        icon = self._icons.pixmap(mark.icon, colour, ICON, scale)
        height = line_height(painter.fontMetrics())
        middle = rect.top() + min(rect.height(), height) // 2
        painter.drawPixmap(rect.left() + 3, middle - ICON // 2, icon)
        faint = line.kind is not EntryKind.OPEN
        text = "highlighted_text" if chosen else "muted" if faint else "text"
        painter.setPen(shades.colour(text))
        name = line_name(shown.speech, line, tubs=len(shown.calendar.seasons))
        place = rect.adjusted(ICON + _BESIDE_ICON, 0, -_AFTER_TEXT, 0)
        italic = line.kind is EntryKind.FORESEEN
        if rect.height() > height:
            above, below = in_two(painter.fontMetrics(), name, place.width())
            half = place.height() // 2
            self._text(
                painter, place.adjusted(0, 0, 0, half - place.height()), above, italic=italic
            )
            self._text(painter, place.adjusted(0, half, 0, 0), below, italic=italic)
        else:
            self._text(painter, place, name, italic=italic)

    def _more(self, painter: QPainter, cell: Cell, shown: MonthShown) -> None:
        speech, hidden = shown.speech, cell.hidden
        if cell.lines:
            told = speech.say_count("+{n} more", "+{n} more", hidden)
        else:
            told = speech.say_count("{n} entry", "{n} entries", hidden)
        painter.setPen(self._theme.shades.colour("link"))
        short = speech.say("+{n}", n=number(speech, hidden))
        self._text(painter, cell.more.adjusted(4, 0, -3, 0), told, short)

    def _frames(self, painter: QPainter, rect: QRect, day: Day) -> None:
        shades = self._theme.shades
        painter.setBrush(Qt.BrushStyle.NoBrush)
        shown = self._model.shown
        if shown is not None and day.on == shown.calendar.today:
            painter.setPen(QPen(shades.colour("primary"), 1))
            painter.drawRect(QRectF(rect).adjusted(0.5, 0.5, -0.5, -0.5))
        if self.chosen is not None and self.chosen[0] == day.on:
            painter.setPen(QPen(shades.colour("focus"), 2))
            painter.drawRect(QRectF(rect).adjusted(1, 1, -1, -1))
        if self.target == day.on:
            painter.setPen(QPen(shades.colour("focus"), 3, Qt.PenStyle.DashLine))
            painter.drawRect(QRectF(rect).adjusted(2, 2, -2, -2))

    def _text(
        self,
        painter: QPainter,
        rect: QRect,
        text: str,
        short: str = "",
        *,
        bold: bool = False,
        italic: bool = False,
    ) -> None:
        font = painter.font()
        font.setBold(bold)
        font.setItalic(italic)
        painter.setFont(font)
        metrics = painter.fontMetrics()
        fits = not short or metrics.horizontalAdvance(text) <= rect.width()
        wanted = text if fits else short
        told = metrics.elidedText(wanted, Qt.TextElideMode.ElideRight, rect.width())
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(rect, int(flags), told)
