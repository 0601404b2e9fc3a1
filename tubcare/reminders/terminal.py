"""Reminders without a window: once, or until told to stop."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Protocol

from tubcare.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.clock import Clock
    from tubcare.reminders.post import Delivery

LONGEST_PAUSE = timedelta(seconds=60)
SHORTEST_PAUSE = timedelta(seconds=1)


class Looks(Protocol):
    """What can be asked to look at the reminders, such as a `Post`."""

    def look(self) -> Delivery:
        """Show what is due; return when to look again."""
        ...


def stay(
    post: Looks,
    clock: Clock,
    pause: Callable[[float], bool],
    *,
    has_changed: Callable[[], bool] = lambda: False,
    on_trouble: Callable[[StoreError], None] = lambda _error: None,
) -> None:
    """Look again and again until `pause` says to stop.

    Each pause is short, so that sleep and changes of the clock are seen; a look happens when its
    time has come by the wall clock, when the clock ran backwards, or when somebody wrote to the
    logbook.

    Parameters
    ----------
    pause
        Waits so many seconds, or less; returns False to end.
    has_changed
        Says whether the logbook was written to since it was asked last.
    on_trouble
        Hears of a logbook that cannot be used at the moment; the next look tries again.
    """
    next_look = before = clock.now()
    while True:
        now = clock.now()
        if now >= next_look or now < before or has_changed():
            try:
                next_look = post.look().next_look
            except StoreError as error:
                on_trouble(error)
                next_look = now + LONGEST_PAUSE
        before = now
        wait = min(max(next_look - now, SHORTEST_PAUSE), LONGEST_PAUSE)
        if not pause(wait.total_seconds()):
            return
