"""What a section of the window is made of: its entry, its screen, and what that works with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Protocol

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton, first_stop
from tubcare.desktop.theme import worded
from tubcare.services.topics import EVERYTHING

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.icons import Icons
    from tubcare.desktop.keeper import Voice
    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.notices import Notices
    from tubcare.desktop.strip import Strip
    from tubcare.desktop.theme import Theme
    from tubcare.desktop.work import Work
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech


_LINE_LETTERS = 56
_HEAD_PX = 38
_WORDS_SHARE = 1000


class Go(Protocol):
    """Shows another section, or a subject (a task, an entry) in it."""

    def __call__(self, key: str, subject: object = None) -> None:
        """Show the section of that key."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What every screen works with; handed to it when it is made."""

    desk: Desk
    voice: Voice
    work: Work
    strip: Strip
    notices: Notices
    icons: Icons
    theme: Theme
    keeping: Keeping
    go: Go
    undo: Callable[[], None]
    """Takes back the newest action and says so."""
    place: str
    """The file or address of the logbook, as shown to people."""

    @property
    def speech(self) -> Speech:
        """Return how things are told, with the logbook's currency."""
        return self.voice.speech

    def say(self, message: str, **parts: object) -> str:
        """Return a message in the person's language, its ``{name}`` places filled."""
        return self.voice.speech.say(message, **parts)


class Screen(QWidget):
    """The page of a section: a title, a line below it, buttons for the main actions, and a body.

    A screen reads through `context.work` in `refresh`, and shows what comes back. The window calls
    `refresh` when the screen is shown the first time, and again when one of its topics changed.
    """

    topics: ClassVar[Topics] = EVERYTHING
    """What it shows; a change of anything else leaves it alone."""
    actions_changed = Signal(object)
    """Carries the screen, when it added or removed actions after it was made."""

    def __init__(self, context: Context, title: str) -> None:
        super().__init__()
        self.context = context
        self.menu_actions: list[QAction] = []
        self._last_stop = first_stop(self)
        self.title = worded(QLabel(title), "title")
        self.subtitle = worded(QLabel(), "muted")
        self.subtitle.setTextFormat(Qt.TextFormat.PlainText)
        self.subtitle.setWordWrap(True)
        self.subtitle.hide()
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addWidget(self.title)
        words.addWidget(self.subtitle)
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(8)
        header = QHBoxLayout()
        # As high as a main button, lest all below it jump from one section to the next.
        header.addStrut(_HEAD_PX)
        header.addLayout(words, 1)
        header.addLayout(self._buttons)
        header.setAlignment(self._buttons, Qt.AlignmentFlag.AlignTop)
        self.body = QVBoxLayout()
        self.body.setSpacing(12)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(24, 18, 24, 18)
        rows.setSpacing(14)
        rows.addLayout(header)
        rows.addLayout(self.body, 1)

    def refresh(self) -> None:
        """Read anew and show it; keep the selection, the focus and what is being typed."""

    def show_subject(self, subject: object) -> None:
        """Show one thing among those listed, when another screen sent the person here for it."""

    def take_focus(self) -> None:
        """Give the keyboard to the place where work starts."""
        focus_first(self)

    def say_below_title(self, text: str) -> None:
        """Show a few words below the title; none when empty."""
        self.subtitle.setText(text)
        self.subtitle.setVisible(bool(text))

    def add_action(
        self,
        text: str,
        slot: Callable[[], None],
        *,
        icon: str = "",
        keys: QKeySequence | QKeySequence.StandardKey | str = "",
        button: bool = False,
        main: bool = False,
    ) -> QAction:
        """Return a new action that stands in the menu “Actions” while this screen is shown.

        Parameters
        ----------
        text
            What it does, as a verb.
        slot
            A bound method without arguments.
        icon
            Name of a drawing in `resources/icons`.
        keys
            Shortcut while this screen is shown.
        button
            Whether it also has a button beside the title.
        main
            Whether that button is the one main action of the screen.
        """
        action = QAction(text, self)
        if icon:
            self.context.icons.put_on(action, icon)
            action.setIconVisibleInMenu(False)
        if keys:
            action.setShortcut(QKeySequence(keys))
        action.triggered.connect(slot)
        self.menu_actions.append(action)
        if button or main:
            made = ActionButton(action, main=main, parent=self)
            self._buttons.addWidget(made)
            self.setTabOrder(self._last_stop, made)
            self._last_stop = made
        self.actions_changed.emit(self)
        return action


class _Centred(QLabel):
    """Words in the middle, in lines no longer than are easy to read.

    Without an alignment in its layout, which would forget that the height depends on the width.
    """

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.setMaximumWidth(_LINE_LETTERS * self.fontMetrics().averageCharWidth())

    @override
    def heightForWidth(self, width: int) -> int:
        """Return the height at that width, or at the widest."""
        return super().heightForWidth(min(width, self.maximumWidth()))


class EmptyState(QWidget):
    """Stands where a list would be: why it is empty, and the one thing to do next."""

    def __init__(self, title: str, text: str, action: QAction | None = None) -> None:
        super().__init__()
        heading = worded(_Centred(title), "group")
        said = worded(_Centred(text), "muted")
        rows = QVBoxLayout(self)
        rows.setSpacing(8)
        rows.addStretch(2)
        for label in (heading, said):
            row = QHBoxLayout()
            row.addStretch(1)
            row.addWidget(label, _WORDS_SHARE)
            row.addStretch(1)
            rows.addLayout(row)
        if action is not None:
            button = ActionButton(action, main=True)
            rows.addSpacing(8)
            rows.addWidget(button, 0, Qt.AlignmentFlag.AlignHCenter)
        rows.addStretch(3)


def focus_first(widget: QWidget) -> None:
    """Give the keyboard to the first thing in a widget that takes it."""
    for child in widget.findChildren(QWidget):
        wants = child.focusPolicy() & Qt.FocusPolicy.TabFocus
        if wants and child.isEnabled() and child.isVisibleTo(widget):
            child.setFocus(Qt.FocusReason.OtherFocusReason)
            return
