"""Readings from and to files: columns mapped by the person, looked at, then all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QFileDialog, QHBoxLayout, QLabel, QPushButton
from typing_extensions import override

from tubcare.desktop.forms import Form
from tubcare.desktop.theme import worded
from tubcare.desktop.water_part import WaterPart
from tubcare.errors import InputError
from tubcare.exchange.files import read_text_file, write_table
from tubcare.exchange.readings_csv import (
    CLOCK,
    ENDS,
    NOTE,
    WHEN,
    ColumnUse,
    ReadingsFile,
    offered_uses,
    read_readings,
    readings_csv,
)
from tubcare.services.measures import QUANTITY_BOUNDS
from tubcare.services.water_import import (
    ImportPreview,
    LineFault,
    all_samples,
    preview_readings,
    take_readings,
)
from tubcare.water.kit import USUAL_STEPS
from tubcare.water.units import Unit
from tubcare.words.sentences.reasons import reason_sentence
from tubcare.words.sentences.water_import import fault_text, preview_text
from tubcare.words.water_values import field_label

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

_MOST_FAULTS = 12
_LETTERS = 90


@dataclass(frozen=True, slots=True)
class _Looked:
    """A file by one mapping, and what taking it over would do."""

    file: ReadingsFile
    preview: ImportPreview


class WaterFilePage(WaterPart):
    """Chooses a file, offers what its columns hold, says what it would bring, and takes it."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.page = self.add_tall_page()
        self._text = ""
        self._looked: _Looked | None = None
        say = context.say
        choose, export = QPushButton(say("Choose a file…")), QPushButton(say("Write to a file…"))
        choose.clicked.connect(self._choose)
        export.clicked.connect(self._export)
        head = QHBoxLayout()
        head.addWidget(choose)
        head.addWidget(export)
        head.addStretch(1)
        self.told = QLabel(
            say("A CSV file of readings is looked at first; nothing is written before you say so.")
        )
        self.faults = worded(QLabel(), "error")
        for label in (self.told, self.faults):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.columns: list[tuple[str, QComboBox, QComboBox]] = []
        self._form: Form | None = None
        self.take = QPushButton(say("Take it over"))
        self.take.clicked.connect(self._take)
        self.take.setEnabled(False)
        self.page.rows.addLayout(head)
        self.page.rows.addWidget(self.told)
        self.page.rows.addWidget(self.faults)
        self.page.rows.addWidget(self.take, 0, Qt.AlignmentFlag.AlignLeft)
        self.page.rows.addStretch(1)
        self.faults.hide()

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Work on another tub, or look at the same file anew."""
        super().show_water(shown)
        if self._text:
            self._look()
        self.page.fit()

    def open(self, path: Path) -> None:
        """Look into a file; nothing is written."""
        self.context.work.on_logbook(
            partial(read_text_file, path),
            done=self._take_text,
            failed=self._failed,
            title=self.context.say("Reading a file"),
        )

    def export_to(self, path: Path) -> None:
        """Write all readings of the tub to a file."""
        if self._shown is None:
            return
        self.context.work.on_logbook(
            partial(_write, self.context.desk, self._shown.now.tub.id, path),
            done=self._written,
            failed=self._failed,
            title=self.context.say("Writing a file"),
        )

    @Slot()
    def _choose(self) -> None:
        title = self.context.say("Choose a file of readings")
        name, _kind = QFileDialog.getOpenFileName(self, title, "", "CSV (*.csv *.txt);;* (*)")
        if name:
            self.open(Path(name))

    @Slot()
    def _export(self) -> None:
        title = self.context.say("Write the readings")
        name, _kind = QFileDialog.getSaveFileName(self, title, "readings.csv", "CSV (*.csv)")
        if name:
            self.export_to(Path(name))

    def _take_text(self, text: str) -> None:
        try:
            uses = offered_uses(text, self.context.speech)
        except InputError as error:
            self._failed(error)
            return
        self._text = text
        self._build(uses)
        self._look()

    def _build(self, uses: tuple[ColumnUse, ...]) -> None:
        if self._form is not None:
            self.page.rows.removeWidget(self._form)
            self._form.hide()
            self._form.deleteLater()
        self._form = Form(self.context.speech)
        self._form.setMaximumWidth(_LETTERS * self._form.fontMetrics().averageCharWidth())
        self.columns = []
        for use in uses:
            holds, unit = self._holds(use), self._units(use)
            self._form.add_row(f"{use.column} holds", use.column, holds)
            unit_label = self.context.say("{column}, unit", column=use.column)
            self._form.add_row(f"{use.column} unit", unit_label, unit)
            self.columns.append((use.column, holds, unit))
        self.page.rows.insertWidget(1, self._form)
        self.page.fit()

    def _holds(self, use: ColumnUse) -> QComboBox:
        say, speech = self.context.say, self.context.speech
        combo = QComboBox()
        combo.addItem(say("leave out"), "")
        combo.addItem(say("the day and time"), WHEN)
        combo.addItem(say("the time of day"), CLOCK)
        combo.addItem(say("a note"), NOTE)
        for name in QUANTITY_BOUNDS:
            combo.addItem(field_label(speech, name), name)
        low, high = ENDS
        for name in USUAL_STEPS:
            reading = field_label(speech, name)
            combo.addItem(say("{reading}: low end of a strip", reading=reading), f"{name} {low}")
            combo.addItem(say("{reading}: high end of a strip", reading=reading), f"{name} {high}")
        combo.setCurrentIndex(max(0, combo.findData(use.holds or "")))
        combo.activated.connect(self._look_again)
        return combo

    def _units(self, use: ColumnUse) -> QComboBox:
        combo = QComboBox()
        combo.addItem(self.context.say("as the logbook: mg/L, °C"), "")
        for unit in Unit:
            combo.addItem(unit.value, unit.value)
        combo.setCurrentIndex(max(0, combo.findData("" if use.unit is None else use.unit.value)))
        combo.activated.connect(self._look_again)
        return combo

    @Slot(int)
    def _look_again(self, _index: int) -> None:
        self._look()

    def _look(self) -> None:
        if self._shown is None:
            return
        uses = tuple(
            ColumnUse(
                column=column,
                holds=holds.currentData() or None,
                unit=Unit(unit.currentData()) if unit.currentData() else None,
            )
            for column, holds, unit in self.columns
        )
        place = self._shown.now.tub
        self.context.work.on_logbook(
            partial(_look, self.context.desk, place.id, place.zone, self._text, uses),
            done=self._show,
            failed=self._failed,
            title=self.context.say("Looking into a file"),
            replaces="water-file",
        )

    def _show(self, looked: _Looked) -> None:
        self._looked = looked
        speech, preview = self.context.speech, looked.preview
        self.told.setText(preview_text(speech, preview.new, preview.known, preview.span))
        faults = [fault_text(speech, f.line, f.reason) for f in _all_faults(looked)]
        more = len(faults) - _MOST_FAULTS
        if more > 0:
            faults = [*faults[:_MOST_FAULTS], speech.say("And {n} more.", n=more)]
        self.faults.setText("\n".join(faults))
        self.faults.setVisible(bool(faults))
        self.take.setEnabled(not faults and preview.new > 0)
        self.page.fit()

    @Slot()
    def _take(self) -> None:
        if self._looked is None or self._shown is None:
            return
        tub, samples = self._shown.now.tub.id, self._looked.file.samples
        self.context.work.on_logbook(
            partial(take_readings, self.context.desk, tub, samples),
            done=self._taken,
            failed=self._failed,
            title=self.context.say("Taking readings over"),
        )

    def _taken(self, found: ImportPreview) -> None:
        speech = self.context.speech
        told = speech.say_count("{n} value taken over.", "{n} values taken over.", found.new)
        self.context.strip.say(told, undo=self.context.undo)

    def _written(self, path: Path) -> None:
        say = self.context.say
        self.context.strip.say(say("Written: {file}", file=str(path)))

    def _failed(self, error: BaseException) -> None:
        reason = error.reason if isinstance(error, InputError) else str(error)
        self._looked = None
        self.take.setEnabled(False)
        self.faults.setText(reason_sentence(self.context.speech, reason))
        self.faults.show()
        self.page.fit()


def _all_faults(looked: _Looked) -> list[LineFault]:
    return sorted((*looked.file.faults, *looked.preview.faults), key=_line)


def _line(fault: LineFault) -> int:
    return fault.line


def _look(desk: Desk, tub: TubId, zone: str, text: str, uses: tuple[ColumnUse, ...]) -> _Looked:
    found = read_readings(text, uses, zone)
    return _Looked(found, preview_readings(desk, tub, found.samples))


def _write(desk: Desk, tub: TubId, path: Path) -> Path:
    place, samples = all_samples(desk, tub)
    return write_table(path, readings_csv(samples, place.zone))
