"""The section Power: what the cold costs, frost, build and tariff of each tub."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from tubcare.desktop.power_build_page import PowerBuildPage
from tubcare.desktop.power_cautions_page import PowerCautionsPage
from tubcare.desktop.power_hours_page import PowerHoursPage
from tubcare.desktop.power_ideas_page import PowerIdeasPage
from tubcare.desktop.power_learn_page import PowerLearnPage
from tubcare.desktop.power_now_page import PowerNowPage
from tubcare.desktop.power_tariff_page import PowerTariffPage
from tubcare.desktop.power_weather_page import PowerWeatherPage
from tubcare.desktop.tub_section import TubSection
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from tubcare.desktop.power_frost_page import PowerFrostPage
    from tubcare.desktop.screen import Context
    from tubcare.services.topics import Topics


class PowerScreen(TubSection):
    """Shows the power of one tub on its pages."""

    topics: ClassVar[Topics] = frozenset(
        {Topic.MEASURES, Topic.MONEY, Topic.TUBS, Topic.UPKEEP, Topic.SETTINGS}
    )

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Power"))
        self.now = self.add_page("season", say("Season"), PowerNowPage)
        self.frost = self.add_page("frost", say("Frost"), _frost)
        self.ideas = self.add_page("ideas", say("What if"), PowerIdeasPage)
        self.hours = self.add_page("hours", say("Hours"), PowerHoursPage)
        self.learn = self.add_page("learn", say("Learn"), PowerLearnPage)
        self.weather = self.add_page("weather", say("Weather"), PowerWeatherPage)
        self.build = self.add_page("build", say("Build"), PowerBuildPage)
        self.tariff = self.add_page("tariff", say("Tariff"), PowerTariffPage)
        self.cautions = self.add_page("cautions", say("Cautions"), PowerCautionsPage)
        self.lay_out(
            pages=say("Pages about power"),
            needed=say("Describe it first; then its power and frost are told here."),
        )


def _frost(context: Context) -> PowerFrostPage:
    from tubcare.desktop.power_frost_page import PowerFrostPage  # noqa: PLC0415  slow to load

    return PowerFrostPage(context)
