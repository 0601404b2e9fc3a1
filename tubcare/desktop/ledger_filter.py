"""Which amounts the ledger shows: the period, and the kind of spending."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget
from typing_extensions import override

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import DateEntry
from tubcare.desktop.period_words import period_name
from tubcare.errors import InputError
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.services.fields import FIRST_DAY
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.ledger_work import LedgerShown
    from tubcare.desktop.screen import Context

_WIDEST_DATE = "00/00/0000"
_FRAME = 24
_SHORT_LETTERS = 6


class LedgerFilter(QWidget):
    """A period by name or by two dates, and one kind of spending or all."""

    span_chosen = Signal(object)
    """Carries the span that was chosen: two dates."""
    kind_chosen = Signal(object)
    """Carries the `SpendCategory` to show, None for all."""
    view_chosen = Signal(object)
    """Carries the `View` to show: what was paid or what was used."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        say = context.say
        # The dates are filled with what is shown as soon as that is known.
        self.first = DateEntry("date", context.voice, FIRST_DAY)
        self.last = DateEntry("date", context.voice, FIRST_DAY)
        self.view, self.period, self.kind = ListBox(), ListBox(), ListBox()
        for short in (self.view, self.kind):
            short.setMinimumContentsLength(_SHORT_LETTERS)
        self.view.fill([(say("Paid"), View.PAID.value), (say("Used"), View.USED.value)])
        self.kind.fill(
            [
                (say("All kinds"), None),
                *((money_word(context.speech, c), c.value) for c in SpendCategory),
            ]
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for text, box, share in (
            (say("View"), self.view, 2),
            (say("Period"), self.period, 3),
            (say("From"), self.first, 1),
            (say("To"), self.last, 1),
            (say("Kind"), self.kind, 2),
        ):
            label = QLabel(text)
            label.setBuddy(box)
            box.setAccessibleName(say("Shown: {what}", what=text))
            if box in {self.first, self.last}:
                row.addWidget(label)
            row.addWidget(box, share)
        self._give_room()
        self.period.activated.connect(self._choose_period)
        self.first.editingFinished.connect(self._choose_dates)
        self.last.editingFinished.connect(self._choose_dates)
        self.kind.activated.connect(self._choose_kind)
        self.view.activated.connect(self._choose_view)

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Give the dates the room that a new text size needs."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._give_room()

    def _give_room(self) -> None:
        widest = self.fontMetrics().horizontalAdvance(_WIDEST_DATE)
        for day in (self.first, self.last):
            day.setMinimumWidth(widest + _FRAME)

    @property
    def shown_kind(self) -> SpendCategory | None:
        """The kind of spending to show, None for all."""
        chosen = self.kind.currentData()
        return None if chosen is None else SpendCategory(chosen)

    @property
    def shown_view(self) -> View:
        """The view to show."""
        return View(self.view.currentData())

    def show_paid(self) -> None:
        """Show what was paid, all kinds of it."""
        self.view.setCurrentIndex(0)
        self.kind.setCurrentIndex(0)

    def show_span(self, shown: LedgerShown) -> None:
        """Show which days are listed, and the periods on offer."""
        span = (shown.first, shown.last)
        named = [
            (period_name(self._context.speech, one), (one.period.first, one.period.last))
            for one in shown.periods
        ]
        own = (self._context.say("Chosen days"), None)
        self.period.fill([*named, own])
        for field in (self.first, self.last):
            field.set_today(shown.choices.today)
        at = next((place for place, (_, days) in enumerate(named) if days == span), len(named))
        self.period.setCurrentIndex(at)
        if not self.first.hasFocus() and not self.last.hasFocus():
            self.first.fill(shown.first)
            self.last.fill(shown.last)

    @Slot()
    def _choose_period(self) -> None:
        span: tuple[date, date] | None = self.period.currentData()
        if span is None:
            self.first.setFocus()
            return
        self.first.fill(span[0])
        self.last.fill(span[1])
        self.span_chosen.emit(span)

    @Slot()
    def _choose_dates(self) -> None:
        try:
            first, last = self.first.day(), self.last.day()
        except InputError:
            # The field still shows what was typed; the list stays as it was.
            return
        if first is not None and last is not None and first <= last:
            self.span_chosen.emit((first, last))

    @Slot()
    def _choose_view(self) -> None:
        self.view_chosen.emit(self.shown_view)

    @Slot()
    def _choose_kind(self) -> None:
        self.kind_chosen.emit(self.shown_kind)
