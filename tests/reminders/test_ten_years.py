"""Ten years of a household: absence, sleep, clocks, zones, kills, and two programs at once."""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.reminders.outbox_model import OutboxModel
from tests.reminders.screens import Death, KilledError, Screen
from tests.support.plans import add_task, add_tub
from tubcare.errors import TubcareError
from tubcare.reminders.hours import Weight, morning
from tubcare.reminders.post import Post
from tubcare.reminders.session import OnScreen, SessionFile
from tubcare.reminders.steps import AGAIN, again_key
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.history import undo
from tubcare.services.household import Weekends, change_person, change_setting, people
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.services.reminder_rows import ReminderKey

LONG = bool(os.environ.get("TUBCARE_LONG"))
YEARS = timedelta(days=3653)
# A stretch is a few hours at the computer; between two of them is night, sleep or absence.
STRETCHES = 400 if LONG else 40
SEEDS = range(4) if LONG else range(1)
ZONES = ["Europe/Helsinki", "America/New_York", "Australia/Sydney", "Australia/Lord_Howe"]
MOST_NOTES = 6


class Years:
    """Plays the years and holds each look against the model."""

    def __init__(self, desk: Desk, clock: StillClock, folder: Path, seed: int) -> None:
        self.desk = desk
        self.clock = clock
        self.random = Random(seed)
        self.model = OutboxModel(desk)
        self.screens = [Screen(), Screen()]
        self.files = [SessionFile(folder / f"{n}.json") for n in range(2)]
        self.starts = 0
        self.kills = 0
        self.may_repeat: Counter[ReminderKey] = Counter()
        self.posts = [self.post(0), self.post(1)]

    def post(self, device: int) -> Post:
        self.starts += 1
        kept = OnScreen(self.files[device])
        return Post(self.desk, "Ann", f"start {self.starts}", self.screens[device], kept)

    def stretch(self) -> None:
        """Look a few times on each device, as the scheduler would, and live in between."""
        for _ in range(self.random.randint(2, 5)):
            for device in self.random.sample((0, 1), self.random.randint(1, 2)):
                self.look(device)
            self.live()
            pause = self.random.choice((20, 59, 60, 600, 3600, 3 * 3600))
            self.clock.at += timedelta(seconds=pause)

    def look(self, device: int) -> None:
        expected = self.model.expected()
        screen = self.screens[device]
        screen.death = self.random.choice(list(Death)) if self.random.random() < 0.12 else None
        slept = self.random.random() < 0.1
        began = self.clock.at
        try:
            gathered = self.posts[device].gather()
            if slept:
                self.clock.at += timedelta(hours=7)
            self.posts[device].hand_over(gathered)
        except KilledError:
            self.kills += 1
            self.may_repeat.update(key for note in screen.shown for key in note.keys)
            self.posts[device] = self.post(device)
        shown = [key for note in screen.shown for key in note.keys]
        notes = len(screen.shown)
        screen.shown.clear()
        assert len(shown) == len(set(shown))
        assert notes <= MOST_NOTES
        self.model.showed(shown)
        if screen.death is None and not slept:
            assert set(shown) == expected
            self.model.marked(shown)
        else:
            assert set(shown) <= (set() if slept else expected)
            self.model.claimed(expected, began)
        if screen.death is None:
            for note in screen.notes.values():
                assert any(self.model.stands(key) for key in note.keys)
        if expected and shown and screen.death is None:
            self.answer(device, shown)

    def answer(self, device: int, shown: list[ReminderKey]) -> None:
        """Now and then press Tomorrow on one of the notes, sometimes twice."""
        if self.random.random() > 0.2:
            return
        told = self.random.choice(shown)
        for _ in range(self.random.randint(1, 2)):
            self.posts[device].tomorrow([told])
        person = people(self.desk)[0]
        day = self.desk.home_today() + timedelta(days=1)
        with self.desk.read() as connection:
            home = setting(connection, HOME_ZONE) or "UTC"
        at = morning(person, day, home, weight=Weight.ASKED_FOR)
        self.model.asked_again(told, again_key(told, day), at)

    def live(self) -> None:
        """Do some of the work, or change something."""
        deed = self.random.random()
        try:
            if deed < 0.25:
                self.work()
            elif deed < 0.28:
                undo(self.desk)
            elif deed < 0.30:
                change_setting(self.desk, HOME_ZONE, self.random.choice(ZONES))
            elif deed < 0.32:
                self.change_hours()
        except TubcareError:
            # Refused, such as work dated before the last one after the clock was set back.
            return

    def work(self) -> None:
        late = sorted(self.model.items.values(), key=lambda i: i.occurrence.due_on)
        for item in late[: self.random.randint(1, 3)]:
            key = item.occurrence.key
            kind = self.random.random()
            if kind < 0.7:
                tick_off(self.desk, item.task, key)
            elif kind < 0.85:
                to = self.desk.home_today() + timedelta(days=self.random.randint(1, 40))
                put_off(self.desk, item.task, key, to)
            else:
                skip(self.desk, item.task, key, "not this time")

    def change_hours(self) -> None:
        person = people(self.desk)[0]
        changed = replace(
            person,
            digest_minute=self.random.randrange(360, 1200),
            quiet_from_minute=self.random.randrange(1440),
            quiet_to_minute=self.random.randrange(1440),
            weekends=self.random.choice(list(Weekends)),
        )
        change_person(self.desk, changed)

    def rest(self, mean: timedelta) -> None:
        """Let time pass away from the computer; sometimes its clock is set back."""
        kind = self.random.random()
        if kind < 0.05:
            self.clock.at -= timedelta(hours=self.random.uniform(0, 30))
        elif kind < 0.5:
            self.clock.at += timedelta(hours=self.random.uniform(6, 20))
        else:
            self.clock.at += mean * self.random.uniform(0.2, 3.2)


def household(desk: Desk) -> None:
    home = add_tub(desk)
    far = add_tub(desk, name="Far", zone="Australia/Sydney")
    weekly = [{"kind": "elapsed", "every": 1, "period": "week"}]
    monthly = [{"kind": "elapsed", "every": 1, "period": "month"}]
    on_dates = [{"kind": "calendar", "rule": "FREQ=MONTHLY;BYMONTHDAY=-1"}]
    add_task(desk, home, title="Test the water", triggers=weekly)
    add_task(desk, home, title="Swap the filter", triggers=monthly, lead_days=5)
    add_task(desk, home, title="Press the test button", triggers=monthly, no_grace=True)
    add_task(desk, far, title="Look for ice", triggers=weekly, safety=True)
    add_task(desk, far, title="Polish the rim", triggers=monthly, cosmetic=True)
    add_task(desk, far, title="Read the meter", triggers=on_dates)
    add_task(desk, home, title="Oil the wood", triggers=[{"kind": "once", "on": "2027-02-28"}])


@pytest.mark.timeout(1800)
@pytest.mark.parametrize("seed", SEEDS)
def test_ten_years_lose_nothing_and_repeat_only_what_a_kill_left_unmarked(
    desk: Desk, clock: StillClock, tmp_path: Path, seed: int
) -> None:
    household(desk)
    years = Years(desk, clock, tmp_path, seed)
    end = clock.at + YEARS
    stretches = 0
    while clock.at < end:
        years.stretch()
        years.rest(YEARS / STRETCHES)
        stretches += 1
    assert years.kills > 0
    for key, count in years.model.told.items():
        # What a person asked for may be asked for again, when the clock was set back.
        assert count <= 1 + years.may_repeat[key] or key.step.startswith(AGAIN)
    assert len(years.model.told) > stretches
    assert date(2036, 1, 1) < clock.at.date()
