"""The state and season of one tub: what it is in now, changing it, opening and closing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Slot
from PySide6.QtWidgets import QComboBox, QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.care.model import TubState
from tubcare.desktop.entry import DateEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.parting import beside
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.season_words import season_text
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.desktop.tub_procedures import Procedures
from tubcare.services.procedures import Procedure, procedures
from tubcare.services.removal import delete_state_change
from tubcare.services.tub_states import SeasonNow, StateRecord, season_now, state_history
from tubcare.services.tubs import enter_state
from tubcare.words.dates import medium_date
from tubcare.words.terms import word

if TYPE_CHECKING:
    from PySide6.QtGui import QHideEvent, QShowEvent

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub

_LEAST_TABLE_PX = 180
_FIRST_PX = (430, 580)
_MS = timedelta(milliseconds=1)
_AFTER_MS = 1000
_LONGEST_MS = 24 * 3600 * 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasons:
    """What the page shows of a tub."""

    tub: Tub
    now: SeasonNow
    history: tuple[StateRecord, ...]
    procedures: tuple[Procedure, ...]


class SeasonPage(TubPart):
    """The state on the left, with what it was before; the procedures on the right."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say, voice = context.say, context.voice
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.state = QComboBox()
        self.day = DateEntry("date", voice, context.desk.today("UTC"))
        self.note = TextEntry("note", voice)
        form = Form(context.speech)
        form.add_row("state", say("New state"), self.state)
        form.add_row("date", say("From"), self.day, read=self.day.day)
        form.add_row("note", say("Note"), self.note, read=self.note.read)
        form.submitted.connect(self._submit)
        change = self.add_page_action(say("Write the state down"), self.change_state)
        self.box = EntryBox(context, form, change)
        self.box.rows.setContentsMargins(0, 0, 0, 0)
        columns = (
            Column(key="on", title=say("From"), text=self._day, sort=_day_key),
            Column(key="state", title=say("State"), text=self._state),
            Column(key="note", title=say("Note"), text=_note, stretch=True),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("States of this tub"), "states", self.model, context.keeping)
        self.table.setMinimumHeight(_LEAST_TABLE_PX)
        self.delete_action = self.add_page_action(
            say("Delete the change of state"), self._delete, keys="Del"
        )
        self.procedures = Procedures(
            context, self.add_page_action(say("Finish the procedure"), icon="tick")
        )
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.timeout.connect(self._look_again)
        splitter = beside(self._left(), self.procedures, shares=(2, 3), first_px=_FIRST_PX)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(10, 10, 10, 10)
        rows.addWidget(splitter)

    @override
    def read(self) -> None:
        """Read the states, the season and the procedures."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(_read, self.context.desk, self.tub),
                done=self._show,
                title=self.context.say("Reading the season"),
                replaces="tub season",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the new state."""
        self.state.setFocus()

    @Slot()
    def change_state(self) -> None:
        """Write down that the tub entered the chosen state."""
        day = self.day.day() if self.box.form.check() else None
        if self.tub is None or day is None:
            return
        state = TubState(self.state.currentData())
        call = partial(enter_state, self.context.desk, self.tub.id, state, day, self.note.read())
        self.box.write(
            call,
            done=partial(self._say_changed, self.tub.name, state),
            title=self.context.say("Writing a state down"),
        )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.change_state()

    def _show(self, seasons: Seasons) -> None:
        self.told.setText(season_text(self.context.speech, seasons.now))
        self.day.move_to(seasons.now.today)
        chosen = self.state.currentData()
        self.state.clear()
        for state in TubState:
            if state is not seasons.now.state:
                self.state.addItem(word(self.context.speech, state), state.value)
        self.state.setCurrentIndex(max(0, self.state.findData(chosen)))
        self.model.set_rows(seasons.history)
        self.delete_action.setEnabled(bool(seasons.history))
        self.procedures.show_procedures(seasons.procedures)
        self._wait(seasons.procedures)

    def _wait(self, found: tuple[Procedure, ...]) -> None:
        """Look again when the next waiting time ends, as long as the page is shown."""
        self._again.stop()
        now = self.context.desk.now()
        ends = [
            step.ready_at
            for each in found
            if (step := each.next_step) is not None and step.ready_at is not None
        ]
        coming = min((end for end in ends if end > now), default=None)
        if coming is not None and self.isVisible():
            self._again.start(min(_LONGEST_MS, int((coming - now) / _MS) + _AFTER_MS))

    @Slot()
    def _look_again(self) -> None:
        self.read()

    @override
    def hideEvent(self, event: QHideEvent) -> None:
        """Look no more while nobody sees it."""
        self._again.stop()
        super().hideEvent(event)

    @override
    def showEvent(self, event: QShowEvent) -> None:
        """Look whether a waiting time ended meanwhile."""
        super().showEvent(event)
        self.read()

    def _say_changed(self, tub: str, state: TubState, _nothing: None) -> None:
        self.note.clear()
        told = word(self.context.speech, state)
        text = self.context.say("Written down: {tub} is {state}.", tub=tub, state=told)
        left = self.procedures.left_of(state)
        if left is not None:
            more = self.context.speech.say_count(
                "“{what}” has {n} step left; finish it there when it is done.",
                "“{what}” has {n} steps left; finish it there when it is done.",
                left.left,
                what=left.title,
            )
            text = f"{text} {more}"
        self.context.strip.say(text, undo=self.context.undo)

    @Slot()
    def _delete(self) -> None:
        record = self.table.current_row
        if record is not None:
            self.box.write(
                partial(delete_state_change, self.context.desk, record.id),
                done=partial(self._say_deleted, record),
                title=self.context.say("Deleting a change of state"),
            )

    def _say_deleted(self, record: StateRecord, _nothing: None) -> None:
        what = f"{self._state(record)}, {self._day(record)}"
        self.context.strip.say(
            self.context.say("Deleted: {what}.", what=what), undo=self.context.undo
        )

    def _left(self) -> QWidget:
        say = self.context.say
        return scrolling(
            worded(QLabel(say("State")), "group"),
            self.told,
            self.box,
            worded(QLabel(say("States before")), "group"),
            self.table,
        )

    def _day(self, record: StateRecord) -> str:
        return medium_date(self.context.speech, record.on)

    def _state(self, record: StateRecord) -> str:
        return word(self.context.speech, record.state)


def _read(desk: Desk, tub: Tub) -> Seasons:
    return Seasons(
        tub=tub,
        now=season_now(desk, tub.id),
        history=state_history(desk, tub.id),
        procedures=procedures(desk, tub.id),
    )


def _identity(record: StateRecord) -> int:
    return record.id


def _day_key(record: StateRecord) -> str:
    return record.on.isoformat()


def _note(record: StateRecord) -> str:
    return record.note
