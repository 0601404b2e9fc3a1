"""The ranges of a tub, each with its document; edited with a warning where they are loosened."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.marks import Mark
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import worded
from tubcare.desktop.water_part import WaterPart
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.ranges import TubRange, edit_range, reset_range, would_loosen
from tubcare.water.judged import READING_OF
from tubcare.words.sentences.water import loosened_text, range_source, range_text
from tubcare.words.water_values import kit_figure, kit_unit, quantity_name

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown

_FORM_LETTERS = 60


class WaterRangesPage(WaterPart):
    """Lists the ranges and edits the chosen one."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        columns = (
            Column(key="what", title=say("Reading"), text=self._name, mark=_mark),
            Column(key="range", title=say("Range"), text=self._range),
            Column(
                key="source", title=say("Where it comes from"), text=self._source, stretch=True
            ),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("Ranges of the tub"), "water-ranges", self.model, context.keeping)
        self.heading = worded(QLabel(), "strong")
        self.form = Form(context.speech)
        self.form.setMaximumWidth(_FORM_LETTERS * self.form.fontMetrics().averageCharWidth())
        self.ends: dict[str, NumberEntry] = {}
        for end, title in (("low", say("Low")), ("aim", say("Aim")), ("high", say("High"))):
            entry = NumberEntry(end, context.voice)
            entry.textChanged.connect(self._warn)
            self.form.add_row(end, title, entry, read=entry.number)
            self.ends[end] = entry
        self.warning = worded(QLabel(), "error")
        self.warning.setWordWrap(True)
        self.warning.setTextFormat(Qt.TextFormat.PlainText)
        keep, reset = QPushButton(say("Keep")), QPushButton(say("Back to the document's range"))
        keep.clicked.connect(self.keep)
        reset.clicked.connect(self.reset)
        self.form.submitted.connect(self._submit)
        self.table.row_chosen.connect(self._choose)
        buttons = QHBoxLayout()
        buttons.addWidget(keep)
        buttons.addWidget(reset)
        buttons.addStretch(1)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 12, 12, 10)
        rows.setSpacing(10)
        rows.addWidget(self.table, 1)
        for widget in (self.heading, self.form, self.warning):
            rows.addWidget(widget)
        rows.addLayout(buttons)

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show the ranges of a tub; the chosen one stays chosen."""
        super().show_water(shown)
        self.model.set_rows(shown.ranges)
        for place in range(2):
            self.table.resizeColumnToContents(place)
        if self.table.current_row is None and shown.ranges:
            self.table.choose(_identity(shown.ranges[0]))
        self._choose(self.table.current_row)

    @Slot(object)
    def _choose(self, found: TubRange | None) -> None:
        if found is None or self._shown is None:
            return
        speech, kit = self._shown.speech, self._shown.now.kit
        name = READING_OF[found.limits.quantity]
        unit = kit_unit(speech, kit, name)
        label = quantity_name(speech, found.limits.quantity)
        told = speech.say("{label}, {unit}", label=label, unit=unit) if unit else label
        self.heading.setText(told)
        values = (found.limits.low, found.limits.aim, found.limits.high)
        for entry, value in zip(self.ends.values(), values, strict=True):
            entry.setText("" if value is None else kit_figure(speech, kit, name, value))
        self._warn()

    def _typed(self, found: TubRange) -> dict[str, float | None]:
        assert self._shown is not None  # noqa: S101  a range is chosen from what is shown
        kit, name = self._shown.now.kit, READING_OF[found.limits.quantity]
        values: dict[str, float | None] = {}
        for end, entry in self.ends.items():
            typed = entry.number()
            values[end] = None if typed is None else kit.inside(name, float(typed))
        return values

    @Slot()
    def _warn(self, _text: str = "") -> None:
        """Say beside the fields what they would loosen, before anything is kept."""
        found = self.table.current_row
        if found is None or self._shown is None:
            return
        try:
            loose = would_loosen(found, **self._typed(found))
        except (InputError, OutOfRangeError):
            loose = ()
        kit = self._shown.now.kit
        told = [loosened_text(self._shown.speech, kit, each) for each in loose]
        self.warning.setText("\n".join(told))
        self.warning.setVisible(bool(told))

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    @Slot()
    def keep(self) -> None:
        """Keep the numbers for this tub."""
        found = self.table.current_row
        if found is None or self._shown is None or not self.form.check():
            return
        self.context.work.on_logbook(
            partial(
                edit_range,
                self.context.desk,
                self._shown.now.tub.id,
                found.limits.quantity,
                **self._typed(found),
            ),
            done=self._kept,
            failed=self._failed,
            title=self.context.say("Changing a range"),
        )

    @Slot()
    def reset(self) -> None:
        """Bring back the range of the document."""
        found = self.table.current_row
        if found is None or self._shown is None:
            return
        self.context.work.on_logbook(
            partial(
                reset_range,
                self.context.desk,
                self._shown.now.tub.id,
                found.limits.quantity,
            ),
            done=self._said_reset,
            title=self.context.say("Changing a range"),
        )

    def _kept(self, found: TubRange) -> None:
        assert self._shown is not None  # noqa: S101  something was shown when it was kept
        speech, kit = self._shown.speech, self._shown.now.kit
        told = [speech.say("The range is kept.")]
        told += [loosened_text(speech, kit, each) for each in found.loosened]
        self.context.strip.say(" ".join(told), undo=self.context.undo)

    def _said_reset(self, _result: None) -> None:
        say = self.context.say
        self.context.strip.say(say("The document's range holds again."), undo=self.context.undo)

    def _failed(self, error: BaseException) -> None:
        if not self.form.show_error(error):
            self.context.strip.say(str(error))

    def _name(self, each: TubRange) -> str:
        return quantity_name(self.speech, each.limits.quantity)

    def _range(self, each: TubRange) -> str:
        if self._shown is None:
            return ""
        told = range_text(self.speech, self._shown.now.kit, each.limits)
        return self.speech.say("{range}, loosened", range=told) if each.loosened else told

    def _source(self, each: TubRange) -> str:
        return range_source(self.speech, each.limits, edited=each.edited)


def _mark(each: TubRange) -> Mark | None:
    return Mark("late", "late") if each.loosened else None


def _identity(each: TubRange) -> str:
    return each.limits.quantity.value
