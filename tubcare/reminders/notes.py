"""Notes: what is shown of the reminders, one task or a digest of several, and who shows it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from tubcare.reminders.steps import is_nudge

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from tubcare.services.reminder_rows import Reminder, ReminderKey
    from tubcare.services.week import DueItem
    from tubcare.values import TaskId

MOST_AT_ONCE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One notification: a single task with its buttons, or a digest of several.

    `tag` stays the same when the same note has to be shown again, so that it replaces itself;
    `items` and `keys` go side by side.
    """

    tag: str
    items: tuple[DueItem, ...]
    keys: tuple[ReminderKey, ...]
    is_urgent: bool = False

    @property
    def is_digest(self) -> bool:
        """Whether it tells of several tasks."""
        return len(self.items) > 1


class Notifier(Protocol):
    """Shows notes to the person."""

    def show(self, note: Note) -> None:
        """Show a note; one with the same tag replaces the earlier one."""
        ...

    def withdraw(self, tags: Iterable[str]) -> None:
        """Take away notes whose work was done elsewhere; unknown tags are no error."""
        ...


def arrange(
    ready: Sequence[Reminder],
    items: Mapping[TaskId, DueItem],
    urgent: frozenset[TaskId],
    on_screen: Mapping[str, tuple[ReminderKey, ...]],
) -> tuple[Note, ...]:
    """Put reminders into notes: few enough to be read, however long the person was away.

    What is urgent stands alone, and so does an evening's nudge, up to three of each; the rest is
    one digest.
    """
    pressing = [each.key for each in ready if each.key.task in urgent]
    others = [each.key for each in ready if each.key.task not in urgent]
    nudges = [key for key in others if is_nudge(key)]
    alone = pressing if len(pressing) <= MOST_AT_ONCE else []
    if len(others) <= MOST_AT_ONCE:
        alone = alone + nudges
    together = [each.key for each in ready if each.key not in alone]
    groups: list[tuple[ReminderKey, ...]] = [(key,) for key in alone]
    if together:
        groups.append(tuple(together))
    return tuple(
        Note(
            tag=_tag(keys, on_screen),
            items=tuple(items[key.task] for key in keys),
            keys=keys,
            is_urgent=any(key.task in urgent for key in keys),
        )
        for keys in groups
    )


def covered(note: Note, on_screen: Mapping[str, tuple[ReminderKey, ...]]) -> tuple[str, ...]:
    """Return the tags of other notes that tell of nothing but what this note tells of."""
    told = {(key.task, key.key) for key in note.keys}
    return tuple(
        tag
        for tag, keys in on_screen.items()
        if tag != note.tag and all((key.task, key.key) in told for key in keys)
    )


def _tag(keys: tuple[ReminderKey, ...], on_screen: Mapping[str, tuple[ReminderKey, ...]]) -> str:
    if len(keys) == 1:
        return _hash(f"{keys[0].task}:{keys[0].key}")
    # Shown before, and never marked: the program ended in between.
    for tag, shown in on_screen.items():
        if len(shown) > 1 and not set(shown).isdisjoint(keys):
            return tag
    return _hash("|".join(f"{k.task}:{k.key}:{k.step}" for k in sorted(keys)))


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]
