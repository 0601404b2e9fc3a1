"""A household in Helsinki with one tub, on each kind of database; it is the first of May, noon."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.reminders.screens import Screen
from tests.services.conftest import clock, desk, store
from tests.support.plans import add_tub
from tubcare.reminders.post import Post

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


__all__ = ["clock", "desk", "post", "screen", "store", "tub"]


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return add_tub(desk)


@pytest.fixture
def screen() -> Screen:
    return Screen()


@pytest.fixture
def post(desk: Desk, screen: Screen) -> Post:
    return Post(desk, "Ann", "first", screen)
