"""A throw-away logbook of a small sauna club in a cold climate: invented, made by a seed."""

from __future__ import annotations

import atexit
import random
import shutil
import tempfile
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.care.template_words import as_written
from tubcare.services.demo_club import PEOPLE, found_club
from tubcare.services.demo_cold import add_cold
from tubcare.services.demo_desk import ZONE, PastClock, PastDesk
from tubcare.services.demo_story import Story
from tubcare.services.demo_water import measure_water, stock_water
from tubcare.services.derived import refresh_caches
from tubcare.services.desk import Desk
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from tubcare.care.template_words import OwnWords
    from tubcare.clock import Clock

SEED = 7
EVENING = time(18)
# The club is founded in this month and day, a month before the first opening.
FOUNDED = (3, 20)
OPENING = (5, 1)


def demo_logbook(clock: Clock, own_words: OwnWords = as_written) -> Path:
    """Return a new logbook in a temporary folder, with two open seasons up to yesterday.

    It holds the same whenever it is made on the same day, and goes when the program ends. Its
    plans are drawn in `own_words`.
    """
    folder = tempfile.mkdtemp(prefix="tubcare-demo-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    path = Path(folder) / "demo.db"
    today = clock.today(ZONE)
    first = _founded_before(today)
    last = today - timedelta(days=1)
    past = PastClock(datetime(first.year, first.month, first.day, 9, tzinfo=UTC))
    store = open_store(path, past.now())
    with store.write() as unit:
        desk = PastDesk(store, past, PEOPLE[0], unit, own_words)
        tubs = found_club(desk, first)
        chance = random.Random(SEED)  # noqa: S311  an invented history, not a secret
        Story(desk, past, tubs, chance, last).tell(first)
        refresh_caches(unit)
    past.go_to(last, EVENING)
    fresh = Desk(store, past, PEOPLE[0], own_words)
    for tub in tubs:
        add_cold(fresh, tub.id, first)
    stock_water(fresh, last - timedelta(days=30))
    if all(tub.is_open for tub in tubs):
        measure_water(fresh, tubs)
    store.close()
    return path


def _founded_before(today: date) -> date:
    """Return the day on which the club began, so that two openings lie before today."""
    opened = today.year if (today.month, today.day) >= OPENING else today.year - 1
    return date(opened - 1, *FOUNDED)
