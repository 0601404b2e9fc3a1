"""What this device remembers of the notes on its screen, as long as the session lasts.

The logbook knows which reminders were shown; only the device knows what still stands on its
screen. Losing this is harmless: a note then stays until somebody puts it away. So a file that
cannot be read or written is passed over.
"""

from __future__ import annotations

import json
import logging
from typing import TYPE_CHECKING

from tubcare.services.reminder_rows import ReminderKey
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

logger = logging.getLogger(__name__)


class SessionFile:
    """A small JSON file in a folder that the system empties at log-out; None keeps nothing."""

    def __init__(self, path: Path | None) -> None:
        self._path = path

    def load(self) -> object:
        """Return what was kept, None when there is nothing to be read."""
        if self._path is None:
            return None
        try:
            kept: object = json.loads(self._path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        return kept

    def save(self, value: object) -> None:
        """Keep a value in place of the one before."""
        if self._path is None:
            return
        part = self._path.with_suffix(".part")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            part.write_text(json.dumps(value), encoding="utf-8")
            part.replace(self._path)
        except OSError as error:
            logger.info("%s is not kept: %s", self._path, error)


class OnScreen:
    """Which notes were shown on this device and not yet put away: tag to reminders."""

    def __init__(self, file: SessionFile | None = None) -> None:
        self._file = file or SessionFile(None)
        self._notes = _notes(self._file.load())

    @property
    def notes(self) -> Mapping[str, tuple[ReminderKey, ...]]:
        """The reminders of each note, by its tag."""
        return self._notes

    def put(self, tag: str, keys: tuple[ReminderKey, ...]) -> None:
        """Remember a note; call it before the note is shown."""
        self._notes[tag] = keys
        self._save()

    def drop(self, tags: tuple[str, ...]) -> None:
        """Forget notes that were put away."""
        if any(self._notes.pop(tag, None) is not None for tag in tags):
            self._save()

    def _save(self) -> None:
        self._file.save(
            {
                tag: [[key.task, key.key, key.step] for key in keys]
                for tag, keys in self._notes.items()
            }
        )


def _notes(kept: object) -> dict[str, tuple[ReminderKey, ...]]:
    found: dict[str, tuple[ReminderKey, ...]] = {}
    if not isinstance(kept, dict):
        return found
    for tag, keys in kept.items():
        try:
            found[str(tag)] = tuple(
                ReminderKey(task=TaskId(int(task)), key=str(key), step=str(step))
                for task, key, step in keys
            )
        except (TypeError, ValueError):
            continue
    return found
