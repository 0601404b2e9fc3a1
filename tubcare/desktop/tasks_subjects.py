"""What another screen can send a person to the tasks for, besides a task itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.values import TaskId


@dataclass(frozen=True, slots=True)
class ChangeTask:
    """The editor, open on a task."""

    task: TaskId


@dataclass(frozen=True, slots=True)
class AddTask:
    """The editor, on a new task."""
