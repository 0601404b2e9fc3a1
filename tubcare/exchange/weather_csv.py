"""The weather of a tub as a table that a spreadsheet opens safely."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.energy.weather import Weather
    from tubcare.services.power_weather_known import WeatherSeries

_HOUR = timedelta(hours=1)
# Any year without a leap day: only month, day and hour are written.
_PLAIN_YEAR = datetime(2025, 1, 1)  # noqa: DTZ001  local standard time of a typical year


def weather_csv(series: WeatherSeries) -> str:
    """Return each hour as measured, then the typical year or the twelve monthly means.

    Air [°C], sun [W m⁻²], wind [m s⁻¹], humidity [-], half the daily range of a month [K].
    Measured hours begin at a local time with its offset, typical ones at a month, day and hour of
    standard time; months are numbers.
    """
    return table_text(_rows(series))


def _rows(series: WeatherSeries) -> Iterator[list[str]]:
    yield ["series", "begins", "air C", "sun W/m2", "wind m/s", "humidity", "half range K"]
    site = series.site
    if site.measured is not None:
        start = site.measured.hours.start
        for number, cells in enumerate(_hours(site.measured.weather)):
            at = (start + number * _HOUR).astimezone(site.zone)
            yield ["measured", at.isoformat(timespec="minutes"), *cells, ""]
    if series.means is not None:
        for month, (air, swing) in enumerate(
            zip(series.means.air_c, series.means.swing_k, strict=True), start=1
        ):
            yield ["monthly mean", str(month), f"{air:g}", "", "", "", f"{swing:g}"]
    elif site.typical is not None:
        for number, cells in enumerate(_hours(site.typical.weather)):
            yield ["typical", f"{_PLAIN_YEAR + number * _HOUR:%m-%d %H:%M}", *cells, ""]


def _hours(weather: Weather) -> Iterator[list[str]]:
    columns = [weather.air_c, weather.sun_w_m2, weather.wind_m_s, weather.humidity]
    nothing = [math.nan] * weather.hours
    values = [nothing if each is None else each.tolist() for each in columns]
    for row in zip(*values, strict=True):
        yield ["" if math.isnan(value) else f"{value:.2f}" for value in row]
