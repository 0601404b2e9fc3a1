"""Catch up: enter past days in a grid, by keyboard alone, and write them down in one go."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Slot
from PySide6.QtWidgets import QLabel
from typing_extensions import override

from tubcare.desktop.catch_up_model import CatchUpModel, SheetShown
from tubcare.desktop.catch_up_table import CatchUpTable
from tubcare.desktop.screen import Screen
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_needed import TubNeeded
from tubcare.desktop.work import Fault
from tubcare.services.catch_up import CatchUpError, CaughtUp, CellKey, Tick, catch_up, doubts
from tubcare.services.catch_up_sheet import SHEET_DAYS, catch_up_sheet
from tubcare.services.topics import Topic
from tubcare.water.doubt import EntryDoubt
from tubcare.words.dates import date_range
from tubcare.words.lists import all_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech

_MOST_WEEKS = 520


Doubts = dict[CellKey, EntryDoubt]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Written:
    entries: Mapping[CellKey, Tick | float]
    count: CaughtUp


class CatchUpScreen(Screen):
    """Seven days at a time; nothing is written before Save, and nothing typed is lost."""

    topics: ClassVar[Topics] = frozenset({Topic.UPKEEP, Topic.TASKS, Topic.TUBS, Topic.MEASURES})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Catch up"))
        self._weeks_back = 0
        self._wanted: CellKey | None = None
        self._shown: SheetShown | None = None
        self.model = CatchUpModel(context)
        self.table = CatchUpTable(self.model, context)
        self.told = worded(QLabel(), "muted")
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.add_action(say("&Save"), self._save, keys="Ctrl+S", main=True)
        self.add_action(say("Week &before"), self._back, keys="Ctrl+PgUp", button=True)
        self._on_action = self.add_action(
            say("Week &after"), self._on, keys="Ctrl+PgDown", button=True
        )
        self._all_action = self.add_action(
            say("Show &every row"), self._show_all, keys="Ctrl+L", button=True
        )
        needed = say("Describe a tub first; then its tasks and readings stand here.")
        self._needed = TubNeeded(self, self.table, needed)
        self.body.addWidget(self._needed, 1)
        self.body.addWidget(self.told)
        self._every_row = False
        self.table.field_chosen.connect(self._tell)
        self.model.dataChanged.connect(self._tell_current)
        self.model.typed_changed.connect(self._say_open)

    @override
    def refresh(self) -> None:
        """Read the days anew; what was typed stays."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk, self.context.speech, self._weeks_back),
            done=self._show,
            title=self.context.say("Reading the last days"),
            replaces="catch-up",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the grid."""
        self.table.setFocus()

    def _show(self, shown: SheetShown) -> None:
        self._shown = shown
        before = self.model.key_at(self.table.currentIndex()) if self._wanted is None else None
        at = self.table.currentIndex().column()
        self.model.show_sheet(shown)
        self._needed.show_for(shown.sheet.tubs)
        self._on_action.setEnabled(self._weeks_back > 0)
        self._say_open()
        wanted = self._wanted or before
        self._wanted = None
        index = self.model.index_of(wanted) if wanted is not None else QModelIndex()
        if not index.isValid():
            first = 1 if 0 in self.model.headings() else 0
            index = self.model.index(first, max(at, 1))
        self.table.setCurrentIndex(index)

    @Slot()
    def _say_open(self, _count: object = None) -> None:
        if self._shown is None:
            return
        speech, days = self._shown.speech, self._shown.sheet.days
        parts = [date_range(speech, days[0], days[-1])]
        count = len(self.model.typed.texts)
        if count:
            parts.append(
                speech.say_count("{n} field not saved yet", "{n} fields not saved yet", count)
            )
        self.say_below_title(" · ".join(parts))

    @Slot(object)
    def _tell(self, index: QModelIndex | QPersistentModelIndex) -> None:
        key = self.model.key_at(index)
        faulty = key is not None and key in self.model.typed.faults
        worded(self.told, "error" if faulty else "muted")
        self.told.style().unpolish(self.told)
        self.told.style().polish(self.told)
        self.told.setText(self.model.told(index))
        if faulty:
            announce(self.table, self.told.text())

    @Slot()
    def _tell_current(self) -> None:
        self._tell(self.table.currentIndex())

    @Slot()
    def _back(self) -> None:
        self._go(self._weeks_back + 1)

    @Slot()
    def _on(self) -> None:
        self._go(self._weeks_back - 1)

    def _go(self, weeks_back: int) -> None:
        if 0 <= weeks_back <= _MOST_WEEKS:
            self._weeks_back = weeks_back
            self.refresh()

    @Slot()
    def _show_all(self) -> None:
        say = self.context.say
        self._every_row = not self._every_row
        self._all_action.setText(
            say("Show only what was du&e") if self._every_row else say("Show &every row")
        )
        self.model.show_all(every_row=self._every_row)
        self.table.setFocus()

    # Saving

    @Slot()
    def _save(self) -> None:
        entries = self.model.entries()
        if self.model.typed.faults:
            self._go_to_fault()
        elif not entries:
            self.context.strip.say(self.context.say("Nothing is typed yet."))
        else:
            self.context.work.on_logbook(
                partial(_write, self.context.desk, entries, self.model.typed.sure()),
                done=self._written,
                failed=self._not_written,
                title=self.context.say("Writing down past days"),
            )

    def _written(self, written: _Written | Doubts) -> None:
        if not isinstance(written, _Written):
            self.model.show_doubts(written)
            self._go_to_fault()
            return
        self.model.forget(written.entries)
        speech, count = self.context.speech, written.count
        parts = [
            speech.say_count("{n} tick", "{n} ticks", count.ticks) if count.ticks else "",
            speech.say_count("{n} reading", "{n} readings", count.readings)
            if count.readings
            else "",
            speech.say_count("{n} dip", "{n} dips", count.dips) if count.dips else "",
            speech.say_count("{n} meter reading", "{n} meter readings", count.meters)
            if count.meters
            else "",
        ]
        told = all_of(speech, [part for part in parts if part])
        text = speech.say("Written down: {what}.", what=told)
        self.context.strip.say(text, undo=self.context.undo)

    def _not_written(self, error: BaseException) -> None:
        if isinstance(error, CatchUpError):
            self.model.show_faults(error.faults)
            self._go_to_fault()
        else:
            title = self.context.say("Writing down past days")
            self.context.work.faulted.emit(Fault(title=title, error=error))

    def _go_to_fault(self) -> None:
        faults = sorted(self.model.typed.faults, key=lambda key: key.on)
        speech = self.context.speech
        self.context.strip.say(
            speech.say_count(
                "{n} field cannot be used; nothing was written down, and all that was typed is "
                "still there.",
                "{n} fields cannot be used; nothing was written down, and all that was typed is "
                "still there.",
                len(faults),
            )
        )
        index = self.model.index_of(faults[0])
        if index.isValid():
            self.table.setCurrentIndex(index)
            self.table.setFocus()
            self._tell(index)
        elif self._shown is not None:
            self._wanted = faults[0]
            self._go(max(0, (self._shown.sheet.today - faults[0].on).days // SHEET_DAYS))


def _read(desk: Desk, speech: Speech, weeks_back: int) -> SheetShown:
    sheet = catch_up_sheet(desk, weeks_back=weeks_back)
    return SheetShown(sheet=sheet, speech=speech_of(desk, speech))


def _write(
    desk: Desk, entries: Mapping[CellKey, Tick | float], sure: frozenset[CellKey]
) -> _Written | Doubts:
    asked = {key: doubt for key, doubt in doubts(desk, entries).items() if key not in sure}
    return asked or _Written(entries=entries, count=catch_up(desk, entries))
