"""What the pages of the sections about a tub have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.screen import focus_first
from tubcare.desktop.scrolling import FIELD_CHARACTERS
from tubcare.desktop.strip import announce
from tubcare.desktop.tall_page import TallPage
from tubcare.desktop.theme import worded
from tubcare.desktop.work import Fault
from tubcare.errors import TubcareError
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeVar

    from tubcare.desktop.forms import Form
    from tubcare.desktop.screen import Context
    from tubcare.services.tubs import Tub

    T = TypeVar("T")


_FORM_SHARE = 1000


class Part(QWidget):
    """A page of a section."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self.actions_of_page: list[QAction] = []

    def take_focus(self) -> None:
        """Give the keyboard to the place where work starts."""
        focus_first(self)

    def add_tall_page(self) -> TallPage:
        """Return a page that scrolls and fills this one."""
        page = TallPage()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(page)
        return page

    def add_page_action(
        self,
        text: str,
        slot: Callable[[], None] | None = None,
        *,
        keys: str = "",
        icon: str = "",
    ) -> QAction:
        """Return a new action that stands in the menu while this page is shown.

        Without `slot` somebody else connects it.
        """
        action = QAction(text, self)
        if keys:
            action.setShortcut(QKeySequence(keys))
        if icon:
            self.context.icons.put_on(action, icon)
            action.setIconVisibleInMenu(False)
        if slot is not None:
            action.triggered.connect(slot)
        self.actions_of_page.append(action)
        return action


class TubPart(Part):
    """A page about one tub; it reads by itself what it shows."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.tub: Tub | None = None

    def show_tub(self, tub: Tub) -> None:
        """Show this tub, read anew."""
        self.tub = tub
        self.read()

    def read(self) -> None:
        """Read what the page shows of its tub, and show it; some wait until they are asked."""


class EntryBox(QWidget):
    """A form with the button that writes it down, and what is wrong with the whole of it."""

    def __init__(self, context: Context, form: Form, action: QAction) -> None:
        super().__init__()
        self._context = context
        self.form = form
        self.told = worded(QLabel(), "error")
        self.told.setWordWrap(True)
        self.told.hide()
        self.button = ActionButton(action)
        row = QHBoxLayout()
        row.addWidget(self.button)
        row.addStretch()
        self.rows = QVBoxLayout(self)
        self.rows.setContentsMargins(12, 12, 12, 12)
        self.rows.setSpacing(10)
        form.setMaximumWidth(FIELD_CHARACTERS * form.fontMetrics().averageCharWidth())
        wide = QHBoxLayout()
        wide.addWidget(form, _FORM_SHARE)
        wide.addStretch(1)
        self.rows.addLayout(wide)
        self.rows.addWidget(self.told)
        self.rows.addLayout(row)
        self.rows.addStretch(1)

    @Slot(object)
    def press(self, _nothing: object) -> None:
        """Do what the button does, as for Enter in the form."""
        self.button.click()

    def write(self, call: Callable[[], T], *, done: Callable[[T], None], title: str) -> None:
        """Call a service in the background; what it refuses is told in the form."""
        self.clear_told()
        self._context.work.on_logbook(call, done=done, failed=self.tell, title=title)

    def tell(self, error: BaseException) -> None:
        """Tell of an error beside its field, or else below the form."""
        if self.form.show_error(error):
            return
        if not isinstance(error, TubcareError):
            title = self.button.text()
            self._context.work.faulted.emit(Fault(title=title, error=error))
            return
        self.tell_text(" ".join(trouble(self._context.speech, error).lines))

    def tell_text(self, text: str) -> None:
        """Show a text below the form, and have it read out."""
        self.told.setText(text)
        self.told.setVisible(bool(text))
        if text:
            announce(self.told, text)

    def clear_told(self) -> None:
        """Take back what was told below the form."""
        self.told.setText("")
        self.told.hide()
