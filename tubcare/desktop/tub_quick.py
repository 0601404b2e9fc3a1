"""Quick entry for one tub, beside what was written down lately."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.parting import beside
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.tub_entries import Box, DipBox
from tubcare.desktop.tub_meter_entries import FillBox, MeterBox
from tubcare.desktop.tub_part import TubPart
from tubcare.desktop.tub_readings import ReadingsBox
from tubcare.services.household import people
from tubcare.services.reading_kit import reading_kit
from tubcare.services.records import Record, delete_record, recent_records
from tubcare.words.dates import medium_date
from tubcare.words.sentences.records import record_name, record_value

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_entries import Written
    from tubcare.services.desk import Desk
    from tubcare.services.reading_kit import ReadingKit
    from tubcare.services.tubs import Tub


@dataclass(frozen=True, slots=True, kw_only=True)
class Quick:
    """What the page shows of a tub."""

    tub: Tub
    today: date
    kit: ReadingKit
    records: tuple[Record, ...]
    people: tuple[str, ...]


_FIRST_PX = (490, 530)


class QuickPage(TubPart):
    """Forms on the left, the newest records on the right."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        write_dips = self.add_page_action(say("Write the dips down"))
        self.dips = DipBox(context, write_dips)
        self.readings = ReadingsBox(context, self.add_page_action(say("Write the readings down")))
        self.meters = MeterBox(context, self.add_page_action(say("Write the meter down")))
        self.fills = FillBox(context, self.add_page_action(say("Write the water down")))
        self.boxes: tuple[Box, ...] = (self.dips, self.readings, self.meters, self.fills)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(say("What to write down"))
        titles = (say("Dip"), say("Readings"), say("Meter"), say("Water"))
        for box, title in zip(self.boxes, titles, strict=True):
            self.tabs.addTab(scrolling(box), title)
            box.written.connect(self._say_written)
        self.model = RowsModel(self._columns(), context.icons, identity=_identity)
        self.table = Table(say("Written down lately"), "records", self.model, context.keeping)
        self.delete_action = self.add_page_action(
            say("Delete the record"), self._delete, keys="Del"
        )
        empty = EmptyState(
            say("Nothing is written down for this tub yet"),
            say("“Dip +1” counts a dip at once; readings and meters go in on the left."),
            write_dips,
        )
        self._list = QStackedWidget()
        self._list.addWidget(self.table)
        self._list.addWidget(empty)
        splitter = beside(self.tabs, self._with_delete(), shares=(1, 1), first_px=_FIRST_PX)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(10, 10, 10, 10)
        rows.addWidget(splitter)

    @override
    def read(self) -> None:
        """Read the records, the last values and the people."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(_read, self.context.desk, self.tub),
                done=self._show,
                title=self.context.say("Reading what was written down"),
                replaces="tub records",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the first field."""
        self.dips.count.setFocus()
        self.dips.count.selectAll()

    def _with_delete(self) -> QWidget:
        """Return the list with the button below it that deletes its current record."""
        holder = QWidget()
        rows = QVBoxLayout(holder)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self._list, 1)
        rows.addWidget(ActionButton(self.delete_action), 0, Qt.AlignmentFlag.AlignRight)
        return holder

    def _show(self, quick: Quick) -> None:
        for box in self.boxes:
            box.show_kit(quick.tub, quick.kit, quick.today, quick.people)
        self.model.set_rows(quick.records)
        self._list.setCurrentIndex(0 if quick.records else 1)
        self.delete_action.setEnabled(bool(quick.records))

    @Slot(object)
    def _say_written(self, written: Written) -> None:
        self.context.strip.say(written.text, undo=self.context.undo)

    @Slot()
    def _delete(self) -> None:
        record = self.table.current_row
        if record is None:
            self.context.strip.say(self.context.say("Choose a record in the list first."))
            return
        self.context.work.on_logbook(
            partial(delete_record, self.context.desk, record),
            done=partial(self._say_deleted, record),
            title=self.context.say("Deleting a record"),
        )

    def _say_deleted(self, record: Record, _nothing: None) -> None:
        what = f"{self._what(record)}, {self._value(record)}"
        self.context.strip.say(
            self.context.say("Deleted: {what}.", what=what), undo=self.context.undo
        )

    def _columns(self) -> tuple[Column[Record], ...]:
        say = self.context.say
        return (
            Column(key="on", title=say("Day"), text=self._day, sort=_when),
            Column(key="what", title=say("What"), text=self._what, sort=self._what, stretch=True),
            Column(key="value", title=say("Value"), text=self._value, numeric=True),
            Column(key="who", title=say("Who"), text=_who, sort=_who),
        )

    def _day(self, record: Record) -> str:
        return medium_date(self.context.speech, record.on)

    def _what(self, record: Record) -> str:
        return record_name(self.context.speech, record)

    def _value(self, record: Record) -> str:
        return record_value(self.context.speech, record)


def _read(desk: Desk, tub: Tub) -> Quick:
    return Quick(
        tub=tub,
        today=desk.today(tub.zone),
        kit=reading_kit(desk, tub.id),
        records=recent_records(desk, tub.id),
        people=tuple(person.name for person in people(desk) if person.active),
    )


def _identity(record: Record) -> tuple[str, int]:
    return record.kind, record.id


def _when(record: Record) -> str:
    return record.at.isoformat()


def _who(record: Record) -> str:
    return record.who
