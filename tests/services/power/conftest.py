"""A chilled tub that has run since the start of May, at midsummer."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import chilled_tub
from tests.support.clocks import StillClock, noon

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 6, 20))


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return chilled_tub(desk, opened=date(2026, 5, 1))
