"""A tiny section and a logbook in memory, to test the frame of the window without any rules."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtWidgets import QLineEdit, QListWidget
from typing_extensions import override

from tubcare.desktop.logbook import Standing
from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.section import Section
from tubcare.services.topics import Topic, Topics

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk


class NotesLogbook:
    """Keeps a list of notes; tells its listeners as a desk does."""

    place = "/somewhere/notes.logbook"

    def __init__(self, notes: tuple[str, ...] = ("Rinse the filter",)) -> None:
        self.notes = list(notes)
        self.taken_back: list[str] = []
        self.closed = False
        self.new = False
        self._listeners: list[Callable[[Topics], None]] = []

    @property
    def desk(self) -> Desk:
        return cast("Desk", self)

    def needs_setup(self) -> bool:
        return self.new

    def currency(self) -> str:
        return "EUR"

    def standing(self) -> Standing:
        undo = f"add “{self.notes[-1]}”" if self.notes else ""
        redo = f"add “{self.taken_back[-1]}”" if self.taken_back else ""
        return Standing(undo=undo, redo=redo, due=len(self.notes), currency=self.currency())

    def add(self, note: str) -> str:
        if not note:
            raise ValueError("an empty note")
        self.notes.append(note)
        self._tell()
        return note

    def undo(self) -> str:
        self.taken_back.append(self.notes.pop())
        self._tell()
        return f"add “{self.taken_back[-1]}”"

    def redo(self) -> str:
        self.notes.append(self.taken_back.pop())
        self._tell()
        return f"add “{self.notes[-1]}”"

    def on_change(self, listener: Callable[[Topics], None]) -> None:
        self._listeners.append(listener)

    def close(self) -> None:
        self.closed = True

    def _tell(self) -> None:
        for listener in self._listeners:
            listener(frozenset({Topic.UPKEEP}))


class NotesScreen(Screen):
    """Lists the notes, adds one."""

    topics = frozenset({Topic.UPKEEP})

    def __init__(self, context: Context) -> None:
        super().__init__(context, "Notes")
        self.logbook = cast("NotesLogbook", context.desk)
        self.field = QLineEdit()
        self.field.setAccessibleName("New note")
        self.field.setPlaceholderText("What needs doing?")
        self.list = QListWidget()
        self.list.setAccessibleName("Notes")
        self.refreshed = 0
        self.body.addWidget(self.field)
        self.body.addWidget(self.list)
        self.subject: object = None
        self.add = self.add_action("Add note", self._add, icon="add", keys="Ctrl+N", main=True)

    @override
    def refresh(self) -> None:
        self.refreshed += 1
        self.context.work.on_logbook(
            self._read, done=self._show, title="Reading the notes", replaces=self
        )

    @override
    def show_subject(self, subject: object) -> None:
        self.subject = subject

    @override
    def take_focus(self) -> None:
        self.field.setFocus()

    def _read(self) -> tuple[str, ...]:
        return tuple(self.logbook.notes)

    def _show(self, notes: tuple[str, ...]) -> None:
        self.list.clear()
        self.list.addItems(notes)
        self.say_below_title(f"{len(notes)} notes")

    def _add(self) -> None:
        note = self.field.text()
        logbook = self.logbook

        def add() -> str:
            return logbook.add(note)

        self.context.work.on_logbook(add, done=self._say, title="Adding a note")

    def _say(self, note: str) -> None:
        self.context.strip.say(f"Added: {note}", undo=self._undo)

    def _undo(self) -> None:
        self.context.work.on_logbook(self.logbook.undo, done=self._undone, title="Undo")

    def _undone(self, what: str) -> None:
        self.context.strip.say(f"Taken back: {what}")


class EmptyScreen(Screen):
    """Has nothing to show."""

    topics = frozenset({Topic.MONEY})

    def __init__(self, context: Context) -> None:
        super().__init__(context, "Empty")
        self.refreshed = 0
        action = self.add_action("Enter the first amount", self._nothing, keys="Ctrl+N")
        self.body.addWidget(
            EmptyState(
                "No money spent yet",
                "Amounts appear here when you tick off a task with its cost, or enter one.",
                action,
            )
        )

    @override
    def refresh(self) -> None:
        self.refreshed += 1

    def _nothing(self) -> None:
        self.context.strip.say("Nothing happened")


SECTIONS = (
    Section(key="week", title="Notes", icon="week", make=NotesScreen),
    Section(key="ledger", title="Empty", icon="ledger", make=EmptyScreen),
)


def parts() -> tuple[tuple[Section, ...], Callable[[], NotesLogbook], None]:
    """Return what a window is made of, for taking pictures."""
    return SECTIONS, NotesLogbook, None
