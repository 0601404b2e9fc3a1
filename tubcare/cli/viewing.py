"""The logbook as on another day, for `--today`."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING

from typing_extensions import override

from tubcare.clock import SystemClock
from tubcare.errors import InputError
from tubcare.services.desk import Desk
from tubcare.words.dates import medium_date

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
    from zoneinfo import ZoneInfo

    from tubcare.cli.output import Output
    from tubcare.services.topics import Topics
    from tubcare.store.unit import Unit


_END_OF_DAY = time(23, 59)


class ViewDesk(Desk):
    """A desk whose today was chosen: on a day that has passed it writes, on one to come not.

    Parameters
    ----------
    desk
        The open logbook.
    day
        The chosen day.
    zone
        The logbook's home zone, whose time of day it is.
    """

    def __init__(self, desk: Desk, day: date, zone: ZoneInfo) -> None:
        super().__init__(desk.store, desk.clock, desk.actor, desk.own_words)
        self.day = day
        self._zone = zone
        self.wrote = False
        """Whether something was written down as on that day."""

    @override
    def now(self) -> datetime:
        """Return the end of a chosen day that has passed, else the present time of that day.

        Ages and waits are told as on it.
        """
        here = self.clock.now().astimezone(self._zone)
        of_day = _END_OF_DAY if self.day < here.date() else here.time()
        return datetime.combine(self.day, of_day, self._zone).astimezone(UTC)

    @override
    @contextmanager
    def write(self, label: str, subject: str, topics: Topics) -> Iterator[Unit]:
        """Open one use case as any desk does.

        Raises
        ------
        InputError
            When the chosen day has not come: looking ahead is what it is for.
        """
        # The day has begun somewhere up to fourteen hours before it has in UTC.
        if self.day > (SystemClock().now() + timedelta(hours=14)).date():
            raise InputError(
                "today",
                "that day has not come; leave --today out of a command that writes, or give the "
                "day of the work with --on",
            )
        with super().write(label, subject, topics) as unit:
            yield unit
        self.wrote = True


def say_day(desk: ViewDesk, output: Output, zone: ZoneInfo) -> None:
    """Say to which day something was dated that was not written down on it."""
    if desk.wrote and desk.day != SystemClock().today(zone):
        shown = medium_date(output.speech, desk.day)
        output.line(output.speech.say("Written down as on {day}, as --today says.", day=shown))
