from __future__ import annotations

import io
from datetime import timedelta
from typing import TYPE_CHECKING

from tests.reminders.plain_words import PlainWords
from tests.reminders.times import FRIDAY, SATURDAY, at, once, tick
from tubcare.errors import StoreBusyError, StoreError
from tubcare.reminders.notifiers import Printed
from tubcare.reminders.post import Delivery, Post
from tubcare.reminders.terminal import LONGEST_PAUSE, stay

if TYPE_CHECKING:
    from datetime import datetime

    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def printed(desk: Desk) -> tuple[Post, io.StringIO]:
    out = io.StringIO()
    return Post(desk, "Ann", "terminal", Printed(PlainWords(), out)), out


class Sleeper:
    """Lets the clock run on by each pause, until an instant."""

    def __init__(self, clock: StillClock, until: datetime) -> None:
        self.clock = clock
        self.until = until
        self.pauses: list[float] = []

    def __call__(self, seconds: float) -> bool:
        self.pauses.append(seconds)
        self.clock.at += timedelta(seconds=seconds)
        return self.clock.at < self.until


def test_a_look_prints_what_is_due_once(desk: Desk, tub: TubId, clock: StillClock) -> None:
    once(desk, tub, FRIDAY, "Oil the cladding")
    at(clock, FRIDAY, 9)
    post, out = printed(desk)
    post.look()
    post.look()
    assert out.getvalue() == "1 to do\n  Oil the cladding\n"


def test_control_characters_in_a_title_do_nothing_to_the_terminal(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY, "Oil\x1b[2J the\tcladding")
    at(clock, FRIDAY, 9)
    post, out = printed(desk)
    post.look()
    assert out.getvalue() == "1 to do\n  Oil [2J the cladding\n"


def test_staying_prints_when_the_time_comes(desk: Desk, tub: TubId, clock: StillClock) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 7, 30)
    post, out = printed(desk)
    sleeper = Sleeper(clock, clock.at + timedelta(hours=1))
    stay(post, clock, sleeper)
    assert out.getvalue().count("to do") == 1
    assert max(sleeper.pauses) <= LONGEST_PAUSE.total_seconds()
    assert len(sleeper.pauses) <= 62


class Looker:
    """Counts looks; the next is due in an hour, or the logbook is busy."""

    def __init__(self, clock: StillClock, busy: int = 0) -> None:
        self.clock = clock
        self.busy = busy
        self.looks: list[datetime] = []

    def look(self) -> Delivery:
        self.looks.append(self.clock.now())
        if len(self.looks) <= self.busy:
            raise StoreBusyError("logbook.db", "another program holds it")
        return Delivery(shown=(), next_look=self.clock.now() + timedelta(hours=1))


def test_staying_sees_sleep_and_a_clock_set_back(clock: StillClock) -> None:
    looker, start = Looker(clock), clock.at
    moves = iter([timedelta(minutes=1), timedelta(hours=9), timedelta(hours=-20)])

    def pause(_seconds: float) -> bool:
        move = next(moves, None)
        clock.at += move or timedelta()
        return move is not None

    stay(looker, clock, pause)
    hours = [(at - start) / timedelta(hours=1) for at in looker.looks]
    assert [round(h) for h in hours] == [0, 9, -11]


def test_staying_tries_a_busy_logbook_again(clock: StillClock) -> None:
    looker = Looker(clock, busy=2)
    trouble: list[StoreError] = []
    stay(
        looker,
        clock,
        Sleeper(clock, clock.at + timedelta(minutes=10)),
        on_trouble=trouble.append,
    )
    assert (len(looker.looks), len(trouble)) == (3, 2)


def test_staying_looks_when_somebody_wrote_to_the_logbook(clock: StillClock) -> None:
    looker = Looker(clock)
    news = iter([True, False, True])
    stay(
        looker,
        clock,
        Sleeper(clock, clock.at + timedelta(minutes=10)),
        has_changed=lambda: next(news, False),
    )
    assert len(looker.looks) == 3


def test_work_ticked_off_meanwhile_is_not_printed(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 7, 30)
    post, out = printed(desk)
    post.look()
    tick(desk, task)
    at(clock, SATURDAY, 9)
    post.look()
    assert out.getvalue() == ""
