"""Tells what became of a tick, and offers what may follow: undo, details, a longer interval."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import QObject, Slot

from tubcare.desktop.notices import Answer, Notice
from tubcare.desktop.tasks_subjects import ChangeTask
from tubcare.desktop.upkeep_words import put_off_text, recorded_text, skipped_text
from tubcare.services.task_edits import drop_task

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tasks_errands import Kind
    from tubcare.desktop.upkeep_side import UpkeepSide
    from tubcare.errors import AlreadyDoneError
    from tubcare.services.upkeep_model import Ticked
    from tubcare.values import CompletionId, TaskId


class UpkeepTeller(QObject):
    """Says in the strip what was recorded; “Details” opens the record beside the list."""

    def __init__(self, context: Context, section: str, side: UpkeepSide) -> None:
        super().__init__(side)
        self._context = context
        self._section = section
        self._side = side
        self._last: CompletionId | None = None

    def recorded(self, ticked: Sequence[Ticked]) -> None:
        """Say what was recorded; a single record can be looked at and changed."""
        self._say_recorded(recorded_text(self._context.speech, ticked), ticked)

    def inspected(self, ticked: Sequence[Ticked]) -> None:
        """Say that an inspection was recorded, and where what it found is written down."""
        told = recorded_text(self._context.speech, ticked)
        asks = self._context.say("What did you find? “Details” takes it down.")
        self._say_recorded(f"{told} {asks}", ticked)

    def _say_recorded(self, text: str, ticked: Sequence[Ticked]) -> None:
        single = ticked[0].completion if len(ticked) == 1 else None
        self._last = single
        self._context.strip.say(
            text,
            undo=self._context.undo,
            details=None if single is None else self.details,
        )

    def put_off(self, moved: Sequence[Ticked]) -> None:
        """Say what was put off; the second time in a row ask whether the rule fits."""
        text = put_off_text(self._context.speech, moved)
        self._context.strip.say(text, undo=self._context.undo)
        self.ask_about(moved)

    def ask_about(self, moved: Sequence[Ticked]) -> None:
        """Ask about what was put off twice in a row whether its rule fits."""
        for each in moved:
            if each.asks_longer_interval:
                offer = PutOffOffer(self._context, each, self)
                self._context.notices.put(offer.notice())

    def told(self, kind: Kind, ticked: Ticked) -> None:
        """Say what came of something that was filled in."""
        if kind == "put off":
            self.put_off([ticked])
        elif kind == "skip":
            text = skipped_text(self._context.speech, ticked)
            self._context.strip.say(text, undo=self._context.undo)
        else:
            self.recorded([ticked])

    def closed_before(self, error: AlreadyDoneError, task: TaskId, zone: str) -> None:
        """Tell that somebody else closed it first, who and when, and what can be done."""
        from tubcare.words.sentences.errors import trouble  # noqa: PLC0415  seldom needed

        told = trouble(self._context.speech, error, ZoneInfo(zone))
        offer = ExtraOffer(self._side, task)
        self._context.notices.put(
            Notice(
                key=f"closed before {task}",
                title=told.happened,
                text=" ".join((told.kept, told.advice)),
                answers=(
                    Answer(text=self._context.say("Record as extra work"), call=offer.record),
                ),
            )
        )

    @Slot()
    def details(self) -> None:
        """Show the last record, where it can be changed."""
        if self._last is not None:
            self._context.go(self._section)
            self._side.amend(self._last)


class ExtraOffer(QObject):
    """Records work on a task that somebody else has closed."""

    def __init__(self, side: UpkeepSide, task: TaskId) -> None:
        super().__init__(side)
        self._side = side
        self._task = task

    @Slot()
    def record(self) -> None:
        """Ask for the details of the work."""
        self._side.record(self._task)


class PutOffOffer(QObject):
    """Asks what to do with a task that is put off again and again; it waits in the notices."""

    def __init__(self, context: Context, moved: Ticked, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._moved = moved

    def notice(self) -> Notice:
        """Return the question with its answers; closing it leaves all as it is."""
        say = self._context.say
        return Notice(
            key=f"put off {self._moved.task}",
            title=say("“{task}” was put off twice in a row", task=self._moved.title),
            text=say("Does it need a longer interval, or can it leave the plan?"),
            answers=(
                Answer(text=say("Longer interval"), call=self.lengthen),
                Answer(text=say("Drop it"), call=self.drop),
            ),
        )

    @Slot()
    def lengthen(self) -> None:
        """Open the editor on the task."""
        self._context.go("tasks", ChangeTask(self._moved.task))

    @Slot()
    def drop(self) -> None:
        """Take the task out of the plan."""
        self._context.work.on_logbook(
            partial(drop_task, self._context.desk, self._moved.task),
            done=self._say_dropped,
            title=self._context.say("Dropping a task"),
        )

    def _say_dropped(self, _nothing: None) -> None:
        text = self._context.say("Dropped from the plan: {what}.", what=self._moved.title)
        self._context.strip.say(text, undo=self._context.undo)
