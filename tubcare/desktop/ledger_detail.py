"""One amount of the ledger with all that it belongs to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.ledger_words import kind_of, kind_word, quantity_of, title_of
from tubcare.desktop.theme import worded
from tubcare.ledger.money import divide_half_even
from tubcare.words.dates import long_date, medium_date
from tubcare.words.escape import visible
from tubcare.words.money import money
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.entries import Entry, EntryDetail
    from tubcare.words.locale import Speech

_LEAST_PRICE_MINOR = 10


class DetailPane(QWidget):
    """Shows the chosen amount; buttons lead to its task and to what it refunds."""

    task_wanted = Signal(object)
    """Carries the task to show."""
    entry_wanted = Signal(object)
    """Carries the amount to show: what a refund refunds."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._detail: EntryDetail | None = None
        self.title = worded(QLabel(), "group")
        self.title.setWordWrap(True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.lines = QFormLayout()
        self.lines.setHorizontalSpacing(14)
        self.lines.setVerticalSpacing(6)
        self.task = QPushButton(context.say("Show the task"))
        self.original = QPushButton(context.say("Show what was refunded"))
        self.task.clicked.connect(self._want_task)
        self.original.clicked.connect(self._want_original)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 0, 0, 0)
        rows.setSpacing(10)
        rows.addWidget(self.title)
        rows.addLayout(self.lines)
        for button in (self.task, self.original):
            rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self._actions = QHBoxLayout()
        self._actions.setSpacing(6)
        rows.addLayout(self._actions)
        rows.addStretch()
        self.show_detail(None)

    def add_buttons(self, actions: Sequence[QAction]) -> None:
        """Put buttons for these actions below the details."""
        for action in actions:
            self._actions.addWidget(ActionButton(action))
        self._actions.addStretch()

    def show_detail(self, detail: EntryDetail | None) -> None:
        """Show an amount; None says that none is chosen."""
        self._detail = detail
        while self.lines.rowCount():
            self.lines.removeRow(0)
        speech = self._context.speech
        if detail is None:
            self.title.setText(speech.say("No amount is chosen"))
        else:
            self.title.setText(title_of(speech, detail.entry))
            for label, text in facts(speech, detail):
                self._add(label, text)
        self.task.setVisible(detail is not None and detail.entry.task is not None)
        self.original.setVisible(detail is not None and detail.entry.refund_of is not None)

    def told(self) -> str:
        """Return everything that is shown, one line for each fact."""
        if self._detail is None:
            return self.title.text()
        lines = facts(self._context.speech, self._detail)
        return "\n".join([self.title.text(), *(f"{label}: {text}" for label, text in lines)])

    def _add(self, label: str, text: str) -> None:
        words = QLabel(visible(text))
        words.setTextFormat(Qt.TextFormat.PlainText)
        words.setWordWrap(True)
        self.lines.addRow(worded(QLabel(label), "muted"), words)

    @Slot()
    def _want_task(self) -> None:
        if self._detail is not None and self._detail.entry.task is not None:
            self.task_wanted.emit(self._detail.entry.task)

    @Slot()
    def _want_original(self) -> None:
        if self._detail is not None and self._detail.entry.refund_of is not None:
            self.entry_wanted.emit(self._detail.entry.refund_of)


def facts(speech: Speech, detail: EntryDetail) -> list[tuple[str, str]]:
    """Return what is known about an amount: a label and a text for each."""
    entry, say = detail.entry, speech.say
    lines = [
        (say("Amount"), money(speech, entry.minor)),
        (say("Day"), long_date(speech, entry.on)),
        (say("Kind"), money_word(speech, entry.category)),
        (say("How"), kind_word(speech, kind_of(entry))),
    ]
    lines += _stock(speech, detail)
    if detail.refunded_minor:
        lines.append((say("Came back so far"), money(speech, detail.refunded_minor)))
    lines += _belongs(speech, detail)
    lines += _life(speech, detail)
    if entry.payee:
        lines.append((say("Paid to"), entry.payee))
    if entry.note and entry.supply is None and "\n" not in entry.note.strip():
        return lines
    if entry.note:
        lines.append((say("Note"), entry.note))
    return lines


def _stock(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    entry = detail.entry
    if entry.quantity_milli:
        unit = entry.supply_unit or {"power": "kWh", "water": "l"}.get(entry.kind, "")
        quantity = entry.quantity_milli
        yield speech.say("Quantity"), quantity_of(speech, quantity, unit)
        if entry.supply is not None:
            yield speech.say("Price"), _price(speech, abs(entry.minor), quantity, unit)
    if detail.expires_on is not None:
        yield speech.say("Keeps until"), medium_date(speech, detail.expires_on)
    if detail.from_day is not None:
        yield speech.say("Since the reading of"), medium_date(speech, detail.from_day)


def _price(speech: Speech, minor: int, quantity_milli: int, unit: str) -> str:
    """Return the price of one, or of a thousand where one costs next to nothing."""
    each, count = divide_half_even(minor * 1000, quantity_milli), 1000
    if each < _LEAST_PRICE_MINOR:
        each, count = divide_half_even(minor * 1_000_000, quantity_milli), 1_000_000
    per = unit if count == 1000 else quantity_of(speech, count, unit)
    return speech.say("{amount} for {quantity}", amount=money(speech, each), quantity=per)


def _belongs(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    entry = detail.entry
    if entry.tub_name:
        yield speech.say("Tub"), entry.tub_name
    if entry.task_title:
        yield speech.say("Task"), entry.task_title
    if entry.supply_name:
        yield speech.say("Supply"), entry.supply_name
    if detail.completed_on is not None:
        yield speech.say("Done"), _done(speech, detail)


def _done(speech: Speech, detail: EntryDetail) -> str:
    assert detail.completed_on is not None  # noqa: S101  asked only for what was done
    day = medium_date(speech, detail.completed_on)
    if not detail.completed_by:
        return day
    return speech.say("{day}, by {name}", day=day, name=detail.completed_by)


def _life(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    if detail.months is None:
        return
    entry: Entry = detail.entry
    base = entry.minor - (detail.salvage_minor or 0)
    each = money(speech, divide_half_even(base, detail.months))
    told = speech.say_count(
        "{n} month, {each} each", "{n} months, {each} each", detail.months, each=each
    )
    yield speech.say("Spread over"), told
    if detail.salvage_minor:
        yield speech.say("Worth at the end"), money(speech, detail.salvage_minor)
    if detail.ended_on is not None:
        yield speech.say("Use ended"), medium_date(speech, detail.ended_on)
