"""A section Power in early summer, and its pages of ideas, hours and learning."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.chilled import SUNNY_MEANS as MEANS
from tests.support.chilled import give_chiller
from tests.support.clocks import noon
from tests.support.plans import add_tub
from tubcare.desktop.power_screen import PowerScreen
from tubcare.energy.tariff_plan import Band, TariffKind, TariffPlan
from tubcare.services.power_tariff import change_tariff
from tubcare.services.power_weather import type_monthly_means
from tubcare.values import Liner, TubId

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk

NOW = noon(2026, 6, 20)
TUB = TubId(1)
NIGHT = Band(from_minute=0, to_minute=360, price=Decimal("0.05"))
BY_TIME = TariffPlan(kind=TariffKind.TIME_OF_USE, price=Decimal("0.40"), bands=(NIGHT,))

Shown = tuple["Window", PowerScreen]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path, now=NOW, zone="Europe/Helsinki")
    tub = add_tub(desk, opened=date(2026, 4, 1))
    give_chiller(desk, tub, Liner.ALUMINIUM)
    desk.store.close()
    return path


@pytest.fixture
def desk(path: Path) -> Desk:
    return desk_on(path, now=NOW)


@pytest.fixture
def open_page(
    make_window: Callable[..., Window], path: Path, qtbot: QtBot
) -> Callable[..., Shown]:
    def make(page: str, **parts: object) -> Shown:
        window = window_on(make_window, path, now=NOW, **parts)
        window.go("power", page)
        settle(qtbot, window)
        found = window.screens.current
        assert isinstance(found, PowerScreen)
        found.show_subject(page)
        settle(qtbot, window)
        return window, found

    return make


@pytest.fixture
def open_priced(desk: Desk, open_page: Callable[..., Shown]) -> Callable[..., Shown]:
    """Return the same call on a tub with its weather and a price by time of day."""
    type_monthly_means(desk, TUB, MEANS)
    change_tariff(desk, TUB, BY_TIME)
    return open_page


@pytest.fixture
def ideas_page(open_priced: Callable[..., Shown]) -> Shown:
    return open_priced("ideas")
