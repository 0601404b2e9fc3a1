from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tubcare.errors import InputError
from tubcare.services.desk import Desk
from tubcare.services.household import (
    Weekends,
    change_person,
    is_started,
    people,
    start_logbook,
)
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.topics import Topics
    from tubcare.store.store import Store


def test_an_unknown_currency_is_refused_and_nothing_is_written(
    store: Store, clock: StillClock
) -> None:
    desk = Desk(store, clock, "Ann")
    with pytest.raises(InputError, match="currency"):
        start_logbook(desk, currency_code="ABC", home_zone="UTC", person="Ann")
    assert not is_started(desk)


def test_an_unknown_zone_is_refused(store: Store, clock: StillClock) -> None:
    with pytest.raises(InputError, match="Europe/Helsinki"):
        start_logbook(
            Desk(store, clock, "Ann"), currency_code="EUR", home_zone="Mars/Base", person="Ann"
        )


def test_a_persons_hours_are_kept(desk: Desk) -> None:
    (ann,) = people(desk)
    change_person(desk, replace(ann, quiet_from_minute=60, weekends=Weekends.SILENT))
    (again,) = people(desk)
    assert (again.quiet_from_minute, again.weekends) == (60, Weekends.SILENT)
    with pytest.raises(InputError, match="23:59"):
        change_person(desk, replace(ann, digest_minute=1440))


def test_views_hear_which_topics_changed_and_nothing_when_a_use_case_fails(desk: Desk) -> None:
    heard: list[Topics] = []
    desk.on_change(heard.append)
    (ann,) = people(desk)
    change_person(desk, replace(ann, digest_minute=500))
    with pytest.raises(InputError):
        change_person(desk, replace(ann, digest_minute=-1))
    assert heard == [frozenset({Topic.PEOPLE})]
