"""Finds the task that a person means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import InputError, NotFoundError
from tubcare.services.tasks import task_list

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId


def find_task(desk: Desk, text: str) -> TaskId:
    """Return the task with that number, or whose title begins with or holds that text.

    Raises
    ------
    NotFoundError
        When no task fits.
    InputError
        When several do, naming them.
    """
    wanted = text.strip().casefold()
    tasks = task_list(desk)
    for fits in (
        [t for t in tasks if str(t.id) == wanted],
        [t for t in tasks if t.title.casefold() == wanted],
        [t for t in tasks if t.title.casefold().startswith(wanted)],
        [t for t in tasks if wanted in t.title.casefold()],
    ):
        if len(fits) == 1:
            return fits[0].id
        if fits:
            titles = ", ".join(f"{t.id} “{t.title}” ({t.tub_name})" for t in fits)
            raise InputError("task", f"“{text}” fits several: {titles}")
    raise NotFoundError("task", text)
