"""The screen of this week: what is late, due today, due each day, and later."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QStackedLayout, QWidget
from typing_extensions import override

from tubcare.desktop.page_list import CATCH_UP
from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.tub_needed import TubNeeded
from tubcare.desktop.upkeep_side import UpkeepSide
from tubcare.desktop.week_model import ROW_ROLE, Row, WeekModel, WeekShown
from tubcare.desktop.week_tree import WeekTree
from tubcare.desktop.week_work import (
    key_of,
    one_dip,
    put_off_row,
    read_week,
    tick_row,
    water_of,
)
from tubcare.desktop.work import Fault
from tubcare.errors import AlreadyDoneError
from tubcare.services.topics import Topic
from tubcare.services.week import DueItem
from tubcare.words.dates import date_range
from tubcare.words.sentences.frost_notes import frost_note_told

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.topics import Topics


class WeekScreen(Screen):
    """Shows the week and records work with one click, one key, and Undo."""

    topics: ClassVar[Topics] = frozenset({Topic.UPKEEP, Topic.TASKS, Topic.TUBS, Topic.MEASURES})

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("This week"))
        self._shown: WeekShown | None = None
        self.model = WeekModel(context)
        self.tree = WeekTree(self.model, context)
        self._empty = EmptyState(
            context.say("Nothing is due this week"),
            context.say("“Tasks” shows what comes later. Enjoy the water."),
        )
        holder = QWidget()
        self._stack = QStackedLayout(holder)
        self._stack.addWidget(self.tree)
        self._stack.addWidget(self._empty)
        self._ticking: Row | None = None
        self.side = UpkeepSide(context, "week", holder, keyboard=self.tree)
        self.tick_action = self.add_action(
            context.say("&Tick off"), self._tick_current, icon="tick", main=True
        )
        say = context.say
        self.add_action(say("Tick off with d&etails…"), self._record_current, keys="Ctrl+Return")
        self.add_action(
            say("Put off to to&morrow"),
            self._put_off_current,
            icon="put-off",
            keys="Ctrl+T",
            button=True,
        )
        self.add_action(say("Put off to a d&ay…"), self._choose_day, keys="Ctrl+Shift+T")
        self.add_action(say("S&kip once…"), self._skip_current, icon="skip", keys="Ctrl+K")
        # One letter less would clash with the menu.
        self.add_action(say("&Dip +1"), self._add_dip, icon="dips", keys="Ctrl+D", button=True)
        self.add_action(say("Catch &up…"), self._catch_up, keys="Ctrl+U")
        self.water_action = self.add_action(
            say("&Water of this tub"), self._go_to_water, icon="water", keys="Ctrl+Shift+W"
        )
        self.water_action.setEnabled(False)
        self.frost_action = self.add_action(
            say("If the power &fails tonight"), self._go_to_frost, keys="Ctrl+Shift+F"
        )
        self.frost_action.setEnabled(False)
        told = say("Describe it first; then what is due stands here, each day with its reason.")
        self._needed = TubNeeded(self, self.side, told)
        self.body.addWidget(self._needed, 1)
        self.tree.tick_wanted.connect(self._tick)
        self.tree.details_wanted.connect(self._details)
        self.tree.selectionModel().currentChanged.connect(self._follow_row)

    @override
    def refresh(self) -> None:
        """Read the week anew."""
        self.context.work.on_logbook(
            partial(read_week, self.context.desk, self.context.speech),
            done=self._show,
            title=self.context.say("Reading this week"),
            replaces="week",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        self.tree.setFocus()

    def _show(self, shown: WeekShown) -> None:
        before = self.tree.row()
        self._shown = shown
        week, speech = shown.week, shown.speech
        notes = (
            frost_note_told(
                speech, note.tub_name, note.edge, note.on, today=week.today, passed=note.passed
            )
            for note in week.frost
        )
        self.say_below_title("   ".join([date_range(speech, week.first, week.last), *notes]))
        self.frost_action.setEnabled(bool(week.frost))
        self.model.show_week(shown)
        self.tree.show_all()
        filled = self.model.rowCount() > 0
        self._stack.setCurrentWidget(self.tree if filled else self._empty)
        self._needed.show_for(week.tubs)
        self.tick_action.setEnabled(filled)
        if before is None or not self._select(before):
            self.tree.select_first()

    def _select(self, wanted: Row) -> bool:
        key = key_of(wanted)
        for at in range(self.model.rowCount()):
            group = self.model.item(at)
            for below in range(group.rowCount()):
                child = group.child(below)
                if key_of(child.data(ROW_ROLE)) == key:
                    self.tree.setCurrentIndex(child.index())
                    return True
        return False

    @Slot()
    def _tick_current(self) -> None:
        row = self.tree.row()
        if row is not None:
            self._tick(row)

    @Slot(object)
    def _tick(self, row: Row) -> None:
        self._ticking = row
        teller = self.side.teller
        inspects = isinstance(row, DueItem) and row.asks_result
        self.context.work.on_logbook(
            partial(tick_row, self.context.desk, row),
            done=teller.inspected if inspects else teller.recorded,
            failed=self._refused,
            title=self.context.say("Ticking off"),
        )

    def _refused(self, error: BaseException) -> None:
        row = self._ticking
        item = row if isinstance(row, DueItem) or row is None else row.items[0]
        # What is shown is not what the logbook holds any more.
        self.refresh()
        if isinstance(error, AlreadyDoneError) and item is not None:
            self.side.teller.closed_before(error, item.task, item.zone)
        else:
            self.context.work.faulted.emit(
                Fault(title=self.context.say("Ticking off"), error=error)
            )

    @Slot()
    def _record_current(self) -> None:
        row = self.tree.row()
        if isinstance(row, DueItem):
            self.side.record(row.task, row.occurrence.key)

    @Slot()
    def _choose_day(self) -> None:
        row = self.tree.row()
        if isinstance(row, DueItem):
            self.side.put_off(row.task, row.occurrence.key)

    @Slot()
    def _skip_current(self) -> None:
        row = self.tree.row()
        if isinstance(row, DueItem):
            self.side.skip(row.task, row.occurrence.key)

    @Slot()
    def _put_off_current(self) -> None:
        row = self.tree.row()
        if row is not None:
            self.context.work.on_logbook(
                partial(put_off_row, self.context.desk, row),
                done=self.side.teller.put_off,
                title=self.context.say("Putting off"),
            )

    @Slot()
    def _add_dip(self) -> None:
        self.context.work.on_logbook(
            partial(one_dip, self.context.desk, self.tree.row()),
            done=self._say_dip,
            title=self.context.say("Writing down a dip"),
        )

    def _say_dip(self, tub: str) -> None:
        text = self.context.speech.say_count(
            "One dip in {tub} written down.", "{n} dips in {tub} written down.", 1, tub=tub
        )
        self.context.strip.say(text, undo=self.context.undo)

    @Slot()
    def _catch_up(self) -> None:
        self.context.go(CATCH_UP)

    @Slot()
    def _follow_row(self) -> None:
        self.water_action.setEnabled(water_of(self.tree.row()) is not None)

    @Slot()
    def _go_to_water(self) -> None:
        """Show the dosing plan of the tub that the row is about; Back leads here again."""
        tub = water_of(self.tree.row())
        if tub is not None:
            self.context.go("water", tub)
            self.context.go("water", "plan")

    @Slot()
    def _go_to_frost(self) -> None:
        """Show how long the tub of the first note has without power; Back leads here again."""
        if self._shown is not None and self._shown.week.frost:
            self.context.go("power", self._shown.week.frost[0].tub)
            self.context.go("power", "frost")

    @Slot(object)
    def _details(self, row: Row) -> None:
        if isinstance(row, DueItem):
            self.context.go("tasks", row.task)
