"""What is done at once with a chosen task: tick it, tick a step, delete a record, drop it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from tubcare.desktop.work import Fault
from tubcare.errors import AlreadyDoneError
from tubcare.services.completions import delete_completion
from tubcare.services.task_edits import drop_task
from tubcare.services.upkeep_model import AS_USUAL
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_work import EarlyWorkError, record_work

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.upkeep_side import UpkeepSide
    from tubcare.services.desk import Desk
    from tubcare.services.task_record import TaskPage
    from tubcare.services.tasks import TaskLine
    from tubcare.services.upkeep_model import Ticked
    from tubcare.values import CompletionId, TaskId


class TaskActs(QObject):
    """Does it in the background and says so in the strip, with Undo."""

    stale = Signal(object)
    """Carries nothing (None): what is shown is not what the logbook holds."""

    def __init__(self, context: Context, side: UpkeepSide) -> None:
        super().__init__(side)
        self._context = context
        self._side = side
        self._ticking: TaskLine | None = None

    @Slot(object)
    def tick(self, line: TaskLine) -> None:
        """Record a task as done, as usual; early work is asked about."""
        self._ticking = line
        self._context.work.on_logbook(
            partial(_tick_as_usual, self._context.desk, line.id),
            done=self._side.teller.recorded,
            failed=self._refused,
            title=self._context.say("Ticking off"),
        )

    def tick_step(self, page: TaskPage, number: int, wanted: bool) -> None:  # noqa: FBT001  a state
        """Tick or clear a step of the open occurrence."""
        if page.detail.open is None:
            return
        call = tick_step if wanted else untick_step
        self._context.work.on_logbook(
            partial(call, self._context.desk, page.detail.id, page.detail.open.key, number),
            done=self._step_done,
            failed=self._step_refused,
            title=self._context.say("Ticking a step"),
        )

    @Slot(object)
    def delete_record(self, completion: CompletionId) -> None:
        """Take a record away."""
        self._context.work.on_logbook(
            partial(delete_completion, self._context.desk, completion),
            done=self._say_deleted,
            title=self._context.say("Deleting a record"),
        )

    def drop(self, line: TaskLine) -> None:
        """Take a task out of the plan."""
        self._context.work.on_logbook(
            partial(_drop_one, self._context.desk, line),
            done=self._say_dropped,
            title=self._context.say("Dropping a task"),
        )

    def _refused(self, error: BaseException) -> None:
        line = self._ticking
        if isinstance(error, EarlyWorkError) and line is not None:
            self._side.record(line.id, early=error)
        elif isinstance(error, AlreadyDoneError) and line is not None:
            self.stale.emit(None)
            self._side.teller.closed_before(error, line.id, line.zone)
        else:
            title = self._context.say("Ticking off")
            self._context.work.faulted.emit(Fault(title=title, error=error))

    def _step_done(self, _nothing: None) -> None:
        """Leave the showing to the refresh that follows."""

    def _step_refused(self, error: BaseException) -> None:
        # The box shows what was wanted; the logbook says what is.
        self.stale.emit(None)
        title = self._context.say("Ticking a step")
        self._context.work.faulted.emit(Fault(title=title, error=error))

    def _say_deleted(self, title: str) -> None:
        text = self._context.say("The record of {what} is deleted.", what=title)
        self._context.strip.say(text, undo=self._context.undo)

    def _say_dropped(self, title: str) -> None:
        text = self._context.say("Dropped from the plan: {what}.", what=title)
        self._context.strip.say(text, undo=self._context.undo)


def _tick_as_usual(desk: Desk, task: TaskId) -> tuple[Ticked, ...]:
    return (record_work(desk, task, AS_USUAL),)


def _drop_one(desk: Desk, line: TaskLine) -> str:
    drop_task(desk, line.id)
    return line.title
