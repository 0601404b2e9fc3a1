"""What power costs: by time of day and hour by hour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import TUB, turn
from tests.support.clocks import noon
from tests.support.weather_files import prices_csv
from tubcare.energy.tariff_plan import TariffKind
from tubcare.services.power_tariff import tariff_of

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_a_tariff_by_time_of_day_comes_back_as_typed(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "tariff")
    form = power.tariff().form
    form.kind.setCurrentIndex(1)
    form.price.setText("0.30")
    form.bands.setText("22:00-06:00 0.12; 17:00-20:00 Mon-Fri 0.40")
    power.tariff().keep()
    settle(qtbot, window)
    kept = tariff_of(desk, TUB)
    assert kept.kind is TariffKind.TIME_OF_USE
    assert [band.weekdays for band in kept.bands] == [frozenset(range(7)), frozenset(range(5))]
    assert form.bands.text() == "22:00-06:00 0.12; 17:00-20:00 Mon-Fri 0.4"


def test_hourly_prices_are_kept_only_with_the_tariff(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "tariff")
    source = tmp_path / "prices.csv"
    source.write_text(prices_csv(noon(2026, 8, 1).replace(hour=0, tzinfo=None), 48))
    power.tariff().open(source)
    settle(qtbot, window)
    assert "48 hours" in power.tariff().told.text()
    assert tariff_of(desk, TUB).hourly is None
    power.tariff().keep()
    settle(qtbot, window)
    kept = tariff_of(desk, TUB).hourly
    assert kept is not None
    assert len(kept.prices) == 48
