"""What the shapes and shadings of the calendar mean, in words."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget
from typing_extensions import override

from tubcare.desktop.calendar_drawing import ICON, fill_season, frame_line
from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context


class Kind(Enum):
    """What a sample shows."""

    OPEN = "due"
    FORESEEN = "foreseen"
    DONE = "done"
    SEASON = "season"
    PLANNED = "planned"


class Sample(QWidget):
    """A small piece of the calendar, drawn as it is there."""

    def __init__(self, kind: Kind, context: Context) -> None:
        super().__init__()
        self._kind = kind
        self._context = context
        self.setFixedSize(28, 18)
        context.theme.changed.connect(self._again)

    @override
    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        theme, kind = self._context.theme, self._kind
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        rect = self.rect()
        if kind in {Kind.SEASON, Kind.PLANNED}:
            painter.fillRect(rect, theme.shades.colour("base"))
            fill_season(painter, rect, theme, planned=kind is Kind.PLANNED)
            painter.setPen(QPen(theme.shades.colour("hairline"), 1))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
            return
        if kind is not Kind.DONE:
            frame_line(painter, rect, theme, foreseen=kind is Kind.FORESEEN)
        role = "coming" if kind is Kind.FORESEEN else kind.value
        icon = self._context.icons.pixmap(kind.value, role, ICON, self.devicePixelRatioF())
        painter.drawPixmap((self.width() - ICON) // 2, (self.height() - ICON) // 2, icon)

    def _again(self, _shades: object) -> None:
        self.update()


class Legend(QWidget):
    """One row of samples with their words."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        say = context.say
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        for kind, words in (
            (Kind.OPEN, say("to be done")),
            (Kind.DONE, say("done")),
            (Kind.FORESEEN, say("foreseen")),
            (Kind.SEASON, say("open season")),
            (Kind.PLANNED, say("planned season")),
        ):
            row.addWidget(Sample(kind, context), 0, Qt.AlignmentFlag.AlignVCenter)
            row.addWidget(worded(QLabel(words), "muted"))
            row.addSpacing(10)
        row.addStretch()
