"""Writes down something that was added outside the plan."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.entry import DateEntry, NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.theme import worded
from tubcare.errors import InputError
from tubcare.services.water_dose import add_dose
from tubcare.words.sentences.water_course import dose_text

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.water_dose import Dosed

_LETTERS = 60


class DoseForm(QWidget):
    """A product of the shelf and an amount; the cautions follow in the message."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._shown: WaterShown | None = None
        say = context.say
        self.product = QComboBox()
        self.amount = NumberEntry("amount", context.voice)
        self.form = Form(context.speech)
        self.form.setMaximumWidth(_LETTERS * self.form.fontMetrics().averageCharWidth())
        self.form.add_row("product", say("Product"), self.product)
        self.form.add_row("amount", say("Amount in g or ml"), self.amount, read=self.amount.number)
        self.day = DateEntry("date", context.voice, context.desk.today("UTC"), required=False)
        self.day.setPlaceholderText(say("now"))
        self.form.add_row("date", say("Day"), self.day, read=self.day.day)
        self.form.submitted.connect(self._submit)
        self.cautions = worded(QLabel(), "muted")
        self.cautions.setWordWrap(True)
        self.cautions.setTextFormat(Qt.TextFormat.PlainText)
        self.keep = QPushButton(say("Write down the dose"))
        self.keep.clicked.connect(self._keep)
        self.product.currentIndexChanged.connect(self._show_cautions)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(worded(QLabel(say("Something else was added")), "group"))
        for widget in (self.form, self.cautions):
            rows.addWidget(widget)
        rows.addWidget(self.keep, 0, Qt.AlignmentFlag.AlignLeft)

    def show_water(self, shown: WaterShown) -> None:
        """Offer the products of the shelf; the chosen one stays chosen."""
        self._shown = shown
        self.day.move_to(shown.today)
        chosen = self.product.currentData()
        self.product.clear()
        for each in shown.shelf.products:
            self.product.addItem(f"{each.label.name} [{each.label.unit}]", each.supply)
        self.product.setCurrentIndex(max(0, self.product.findData(chosen)))
        self.setVisible(bool(shown.shelf.products))

    @Slot(int)
    def _show_cautions(self, place: int) -> None:
        products = () if self._shown is None else self._shown.shelf.products
        if 0 <= place < len(products):
            self.cautions.setText(
                " ".join(map(self._context.speech.own, products[place].cautions))
            )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self._keep()

    @Slot()
    def _keep(self) -> None:
        if self._shown is None or not self.form.check():
            return
        amount = self.amount.number()
        if amount is None:
            # Said when it is handed in, not each time the field is left: nobody has to fill it.
            missing = self._context.say("write how much was added")
            self.form.show_error(InputError("amount", missing))
            return
        self._context.work.on_logbook(
            partial(
                add_dose,
                self._context.desk,
                self._shown.now.tub.id,
                self.product.currentData(),
                float(amount),
                on=self.day.day(),
            ),
            done=self._kept,
            failed=self._failed,
            title=self._context.say("Writing down a dose"),
        )

    def _kept(self, found: Dosed) -> None:
        speech = self._context.speech
        told = dose_text(speech, found.product, found.amount, found.unit)
        self.amount.clear()
        self.day.clear()
        self._context.strip.say(
            speech.say("Recorded: {what}.", what=told), undo=self._context.undo
        )

    def _failed(self, error: BaseException) -> None:
        if not self.form.show_error(error):
            self._context.strip.say(str(error))
