"""What a person can be about to do with one piece of upkeep, each with its form and its call."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Literal, Protocol, TypeVar

from tubcare.desktop.tasks_work_form import PutOffForm, SkipForm, WorkForm
from tubcare.errors import RuleError
from tubcare.services.amending import amend_completion
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import record_work
from tubcare.services.work_kit import amend_kit, work_kit

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.forms import Form
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.upkeep_model import Ticked
    from tubcare.services.work_kit import WorkKit
    from tubcare.values import CompletionId, TaskId


Kind = Literal["work", "skip", "put off"]


class Errand(Protocol):
    """One thing to fill in and do; its form is read before the call goes to the logbook."""

    kind: Kind

    def read(self, desk: Desk) -> WorkKit:
        """Return what the form shows; runs in the logbook's thread."""
        ...

    def heading(self, context: Context, kit: WorkKit) -> str:
        """Return what is about to be done."""
        ...

    def verb(self, context: Context) -> str:
        """Return the text of the button that does it."""
        ...

    def form(self, context: Context, kit: WorkKit) -> Form:
        """Return the fields to fill in."""
        ...

    def call(self, desk: Desk, kit: WorkKit, *, restarts: bool | None) -> Callable[[], Ticked]:
        """Return what does it; raises `InputError` for what cannot be used."""
        ...


class RecordWork:
    """Work that was done: on the listed occurrence of a key, or freely without one."""

    kind: Kind = "work"

    def __init__(self, task: TaskId, key: str | None = None) -> None:
        self.task = task
        self.key = key
        self._form: WorkForm | None = None

    def read(self, desk: Desk) -> WorkKit:
        """Return the task with what is usual for it."""
        return work_kit(desk, self.task)

    def heading(self, context: Context, kit: WorkKit) -> str:
        """Return what is about to be recorded."""
        return context.say("Work done: {task}", task=kit.title)

    def verb(self, context: Context) -> str:
        """Return the text of the button."""
        return context.say("Record")

    def form(self, context: Context, kit: WorkKit) -> Form:
        """Return the fields, filled with what is usual."""
        self._form = WorkForm(context, kit)
        return self._form

    def call(self, desk: Desk, kit: WorkKit, *, restarts: bool | None) -> Callable[[], Ticked]:
        """Return what records it; an answer about the clock makes it free work."""
        work = _filled(self._form).work()
        if self.key is not None and restarts is None:
            return partial(tick_off, desk, kit.task, self.key, work)
        return partial(record_work, desk, kit.task, work, restarts=restarts)


class AmendWork:
    """A record that is changed."""

    kind: Kind = "work"

    def __init__(self, completion: CompletionId) -> None:
        self.completion = completion
        self._form: WorkForm | None = None

    def read(self, desk: Desk) -> WorkKit:
        """Return the record with its task."""
        return amend_kit(desk, self.completion)

    def heading(self, context: Context, kit: WorkKit) -> str:
        """Return what is about to be changed."""
        return context.say("Recorded: {task}", task=kit.title)

    def verb(self, context: Context) -> str:
        """Return the text of the button."""
        return context.say("Keep the changes")

    def form(self, context: Context, kit: WorkKit) -> Form:
        """Return the fields, filled with what is on record."""
        self._form = WorkForm(context, kit)
        return self._form

    def call(self, desk: Desk, kit: WorkKit, *, restarts: bool | None) -> Callable[[], Ticked]:
        """Return what changes it."""
        _ = kit, restarts
        return partial(amend_completion, desk, self.completion, _filled(self._form).work())


class SkipWork:
    """One occurrence that is dropped, with a reason."""

    kind: Kind = "skip"

    def __init__(self, task: TaskId, key: str | None = None) -> None:
        self.task = task
        self.key = key
        self._form: SkipForm | None = None

    def read(self, desk: Desk) -> WorkKit:
        """Return the task."""
        return work_kit(desk, self.task)

    def heading(self, context: Context, kit: WorkKit) -> str:
        """Return what is about to be skipped."""
        return context.say("Skip this once: {task}", task=kit.title)

    def verb(self, context: Context) -> str:
        """Return the text of the button."""
        return context.say("Skip")

    def form(self, context: Context, kit: WorkKit) -> Form:
        """Return the field for the reason."""
        _ = kit
        self._form = SkipForm(context)
        return self._form

    def call(self, desk: Desk, kit: WorkKit, *, restarts: bool | None) -> Callable[[], Ticked]:
        """Return what skips it."""
        _ = restarts
        reason = _filled(self._form).reason.read()
        return partial(skip, desk, kit.task, _key(self.key, kit), reason)


class PutOffWork:
    """One occurrence that is moved to a later day."""

    kind: Kind = "put off"

    def __init__(self, task: TaskId, key: str | None = None) -> None:
        self.task = task
        self.key = key
        self._form: PutOffForm | None = None

    def read(self, desk: Desk) -> WorkKit:
        """Return the task."""
        return work_kit(desk, self.task)

    def heading(self, context: Context, kit: WorkKit) -> str:
        """Return what is about to be moved."""
        return context.say("Put off: {task}", task=kit.title)

    def verb(self, context: Context) -> str:
        """Return the text of the button."""
        return context.say("Put off")

    def form(self, context: Context, kit: WorkKit) -> Form:
        """Return the field for the day."""
        due_on = kit.today if kit.open is None else kit.open.due_on
        self._form = PutOffForm(context, kit.today, due_on)
        return self._form

    def call(self, desk: Desk, kit: WorkKit, *, restarts: bool | None) -> Callable[[], Ticked]:
        """Return what moves it."""
        _ = restarts
        form = _filled(self._form)
        key = _key(self.key, kit)
        return partial(put_off, desk, kit.task, key, form.to(), form.reason.read())


def _key(key: str | None, kit: WorkKit) -> str:
    if key is not None:
        return key
    if kit.open is None:
        raise RuleError("this task has nothing coming")
    return kit.open.key


F = TypeVar("F")


def _filled(form: F | None) -> F:
    if form is None:
        raise RuleError("open the form first")
    return form
