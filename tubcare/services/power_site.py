"""Everything that the model of a tub's power starts from, read in one transaction."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.services.power_build import build_catalogue, power_plan, read_build
from tubcare.services.power_learned import Learned, learned_from
from tubcare.services.power_model import Site
from tubcare.services.power_tariff import engine_tariff, stored_tariff
from tubcare.services.power_weather_store import site_weather

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.energy.tariff_plan import TariffPlan
    from tubcare.energy.tub import Tub
    from tubcare.services.power_build import TubBuild
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerSite:
    """A tub's build, what was learned about it, and the site that the model runs on.

    `described_tub` is as described, `site.tub` as learned.
    """

    build: TubBuild
    learned: Learned
    described_tub: Tub
    site: Site
    plan: TariffPlan


def read_site(connection: Connection, tub: TubId | str | None) -> PowerSite:
    """Return what the model of a tub's power starts from.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    build = read_build(connection, tub)
    place = build.place
    described = build.tub(build_catalogue())
    learned = learned_from(power_plan(connection, place.id).get("drift", {}), build, described)
    return PowerSite(
        build=build,
        learned=learned,
        described_tub=described,
        site=Site(
            tub=learned.applied(described),
            spread=learned.spread,
            weather=site_weather(connection, build),
            tariff=engine_tariff(connection, place.id),
        ),
        plan=stored_tariff(connection, place.id),
    )
