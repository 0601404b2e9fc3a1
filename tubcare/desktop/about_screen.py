"""What this program is, where its data lies, and what to tell somebody who helps."""

from __future__ import annotations

import platform
import sqlite3
import sys
from typing import TYPE_CHECKING

import PySide6
from PySide6.QtCore import Qt, qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFormLayout, QLabel

from tubcare import __version__
from tubcare.desktop.screen import Screen
from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context

_LICENCES = (
    ("tubcare", "MIT"),
    ("Qt, PySide6", "LGPL-3.0"),
    ("SQLAlchemy, Alembic, APScheduler, pyqtgraph", "MIT"),
    ("Babel, NumPy, dateutil", "BSD-3-Clause"),
)


class AboutScreen(Screen):
    """Shows the version, the file, the licences; copies the diagnostics."""

    topics = frozenset()

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("About tubcare"))
        say = context.say
        self.say_below_title(say("A maintenance scheduler for outdoor chilled tubs"))
        rows = QFormLayout()
        rows.setHorizontalSpacing(24)
        rows.setVerticalSpacing(8)
        rows.addRow(_head(say("Version")), _value(__version__))
        rows.addRow(_head(say("Logbook")), _value(context.place))
        rows.addRow(_head(say("Settings of this window")), _value(str(context.keeping.path)))
        for name, licence in _LICENCES:
            rows.addRow(_head(name), _value(licence))
        self.body.addLayout(rows)
        self.body.addStretch()
        self.add_action(say("Copy diagnostics"), self._copy, icon="export", button=True)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(diagnostics(self.context))
        self.context.strip.say(self.context.say("Diagnostics copied; they hold no records."))


def diagnostics(context: Context) -> str:
    """Return what somebody who helps needs to know; nothing of what the logbook holds."""
    screen = QGuiApplication.primaryScreen()
    facts = {
        "tubcare": __version__,
        "Python": sys.version.split()[0],
        "system": platform.platform(),
        "Qt": qVersion(),
        "PySide6": PySide6.__version__,
        "SQLite": sqlite3.sqlite_version,
        "window system": QGuiApplication.platformName(),
        "screen": f"{screen.size().width()}x{screen.size().height()}",
        "scale": f"{screen.devicePixelRatio():g}",
        "colours": f"{context.theme.appearance} ({context.theme.shades.name})",
        "text size": f"{context.theme.text_percent} %",
        "formats": context.speech.formats_tag,
        "language": context.speech.language,
        "logbook": context.place,
    }
    return "\n".join(f"{name}: {value}" for name, value in facts.items())


def _head(text: str) -> QLabel:
    return worded(QLabel(text), "muted")


def _value(text: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(
        Qt.TextInteractionFlag.TextSelectableByMouse
        | Qt.TextInteractionFlag.TextSelectableByKeyboard
    )
    return label
