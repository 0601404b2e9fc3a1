"""The weather that is kept for the power of a tub, for whoever looks at it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.weather_kind import WeatherKind
from tubcare.services.measures import tub_named
from tubcare.services.power_build import read_build
from tubcare.services.power_weather_store import means_of, site_weather
from tubcare.services.weather_store import KeptWeather, Purpose, kept_weather

if TYPE_CHECKING:
    from tubcare.energy.monthly_means import MonthlyMeans
    from tubcare.services.desk import Desk
    from tubcare.services.power_weather_store import SiteWeather
    from tubcare.values import TubId


def monthly_means(desk: Desk, tub: TubId | str | None) -> MonthlyMeans | None:
    """Return the monthly means that were typed in for a tub, None when there are none."""
    with desk.read() as connection:
        place = tub_named(connection, tub)
        kept = kept_weather(connection, place.id, Purpose.TYPICAL)
    if kept is None or kept.kind is not WeatherKind.MONTHLY_MEANS:
        return None
    return means_of(kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWeather:
    """The series that are kept for a tub's power; None where there is none.

    `without_sun` says that monthly means bring no sun, as nobody wrote down the tub's latitude.
    """

    measured: KeptWeather | None
    typical: KeptWeather | None
    without_sun: bool


def known_weather(desk: Desk, tub: TubId | str | None) -> KnownWeather:
    """Return which weather is kept for a tub's power."""
    with desk.read() as connection:
        build = read_build(connection, tub)
        measured = kept_weather(connection, build.place.id, Purpose.POWER)
        typical = kept_weather(connection, build.place.id, Purpose.TYPICAL)
    return KnownWeather(
        measured=measured,
        typical=typical,
        without_sun=typical is not None
        and typical.kind is WeatherKind.MONTHLY_MEANS
        and build.profile.latitude_deg is None
        and means_of(typical).latitude_deg is None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherSeries:
    """All figures that are kept for a tub's power.

    `means` are the monthly means that the typical year is drawn from, None for one from a file.
    """

    site: SiteWeather
    means: MonthlyMeans | None


def weather_series(desk: Desk, tub: TubId | str | None) -> WeatherSeries:
    """Return all weather that is kept for a tub's power, hour by hour."""
    with desk.read() as connection:
        build = read_build(connection, tub)
        site = site_weather(connection, build)
    return WeatherSeries(site=site, means=monthly_means(desk, build.place.id))
