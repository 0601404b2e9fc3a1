"""What can be taken into the plan: dropped tasks come back, others the profile calls for."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.screen import EmptyState
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import main_action, worded
from tubcare.services.offers import Offer, offers, take_offer
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Hashable

    from PySide6.QtGui import QKeyEvent

    from tubcare.desktop.screen import Context


class OffersPage(QWidget):
    """A list of offers; Space or Enter takes one, Escape goes back to the plan."""

    left = Signal(object)
    """Carries nothing (None)."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        say = context.say
        self.model = RowsModel(self._columns(), context.icons, identity=_identity)
        self.table = Table(say("Dropped and offered"), "task-offers", self.model, context.keeping)
        self.take_button = main_action(QPushButton(say("Put into the plan")))
        self.back_button = QPushButton(say("Back to the plan"))
        told = worded(QLabel(say("Dropped tasks come back with what was done of them.")), "muted")
        told.setWordWrap(True)
        empty = EmptyState(
            say("Nothing is left to offer"),
            say("Everything that the profile of a tub calls for is in its plan."),
        )
        holder = QWidget()
        self._stack = QStackedLayout(holder)
        self._stack.addWidget(self.table)
        self._stack.addWidget(empty)
        buttons = QHBoxLayout()
        buttons.addWidget(self.take_button)
        buttons.addWidget(self.back_button)
        buttons.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(worded(QLabel(say("Dropped and offered tasks")), "group"))
        rows.addWidget(told)
        rows.addWidget(holder, 1)
        rows.addLayout(buttons)
        self.table.space_pressed.connect(self._take)
        self.table.row_opened.connect(self._take)
        self.take_button.clicked.connect(self._take_current)
        self.back_button.clicked.connect(self._leave)

    def refresh(self) -> None:
        """Read the offers anew."""
        self._context.work.on_logbook(
            partial(offers, self._context.desk),
            done=self._show,
            title=self._context.say("Reading what can be added"),
            replaces=self,
        )

    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        shown = self.table if self.model.rowCount() else self.back_button
        shown.setFocus()

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go back with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def _show(self, found: tuple[Offer, ...]) -> None:
        self.model.set_rows(found)
        self._stack.setCurrentIndex(0 if found else 1)
        self.take_button.setEnabled(bool(found))
        if found and self.table.current_row is None:
            self.table.setCurrentIndex(self.model.index(0, 0))
            self.take_focus()

    @Slot()
    def _take_current(self) -> None:
        if (offer := self.table.current_row) is not None:
            self._take(offer)

    @Slot(object)
    def _take(self, offer: Offer) -> None:
        self._context.work.on_logbook(
            partial(take_offer, self._context.desk, offer),
            done=self._taken,
            title=self._context.say("Adding a task"),
        )

    def _taken(self, title: str) -> None:
        text = self._context.say("In the plan: {what}.", what=title)
        self._context.strip.say(text, undo=self._context.undo)

    @Slot()
    def _leave(self) -> None:
        self.left.emit(None)

    def _columns(self) -> tuple[Column[Offer], ...]:
        say = self._context.say
        return (
            Column(key="title", title=say("Task"), text=_title, sort=_title, stretch=True),
            Column(key="tub", title=say("Tub"), text=_tub, sort=_tub),
            Column(key="category", title=say("Part"), text=self._category, sort=self._category),
            Column(key="from", title=say("Where from"), text=self._origin, sort=self._origin),
        )

    def _category(self, offer: Offer) -> str:
        return word(self._context.speech, offer.category)

    def _origin(self, offer: Offer) -> str:
        if offer.was_dropped:
            return self._context.say("dropped")
        return self._context.say("offered")


def _identity(offer: Offer) -> Hashable:
    return (offer.tub, offer.task, offer.template_key)


def _title(offer: Offer) -> str:
    return offer.title


def _tub(offer: Offer) -> str:
    return offer.tub_name
