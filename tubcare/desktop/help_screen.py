"""The one help page: a chapter for each section, offline, always at F1."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QTextBrowser
from typing_extensions import override

from tubcare.desktop.resource import resource
from tubcare.desktop.screen import Screen

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context

_FALLBACK = "en"
_ANCHOR = re.compile(r'<a name="(\w+)">')


class HelpScreen(Screen):
    """Shows the help; its subject is the key of a section, whose chapter comes to the top."""

    topics = frozenset()

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Help"))
        self.text = QTextBrowser()
        self.text.setObjectName("help")
        self.text.setAccessibleName(context.say("Help"))
        self.text.setOpenLinks(False)
        self.text.setTabChangesFocus(True)
        self.text.setHtml(_help_text(context.speech.language))
        self.body.addWidget(self.text)
        context.theme.changed.connect(self._colour)

    @override
    def show_subject(self, subject: object) -> None:
        """Bring the chapter of a section to the top, the first one when it has none."""
        self.text.moveCursor(QTextCursor.MoveOperation.Start)
        if isinstance(subject, str):
            self.text.scrollToAnchor(subject)

    @override
    def take_focus(self) -> None:
        """Let the arrow keys scroll."""
        self.text.setFocus()

    def _colour(self) -> None:
        # Text that was laid out keeps the colours it was laid out with.
        self.text.setHtml(_help_text(self.context.speech.language))


def chapters(language: str = _FALLBACK) -> frozenset[str]:
    """Return the names of the chapters there are."""
    return frozenset(_ANCHOR.findall(_help_text(language)))


def _help_text(language: str) -> str:
    for name in (language, _FALLBACK):
        try:
            return resource("help", f"{name}.html").read_text(encoding="utf-8")
        except FileNotFoundError:
            continue
    return ""
