"""What the section Water reads in one go, in the logbook's thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.desktop.speaking import speech_of
from tubcare.services.liner_exposure import LinerExposure, liner_exposure
from tubcare.services.ranges import TubRange, tub_ranges
from tubcare.services.water_course import next_test_of
from tubcare.services.water_entry import EntrySheet, entry_sheet
from tubcare.services.water_now import WaterNow, water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_supplies import WaterShelf, water_shelf
from tubcare.services.water_wear import WaterWear, water_wear
from tubcare.words.water_values import moment_text

if TYPE_CHECKING:
    from datetime import date, datetime

    from tubcare.services.desk import Desk
    from tubcare.services.water_plan_model import WaterPlan
    from tubcare.values import TubId
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterShown:
    """The water of one tub, and the words to show it in."""

    now: WaterNow
    plan: WaterPlan
    shelf: WaterShelf
    sheet: EntrySheet
    wear: WaterWear
    liner: LinerExposure
    ranges: tuple[TubRange, ...]
    next_test: date
    speech: Speech

    @property
    def today(self) -> date:
        """Return the day at the tub."""
        return self.now.now.astimezone(ZoneInfo(self.now.tub.zone)).date()

    def moment(self, instant: datetime) -> str:
        """Return an instant as the time of day at the tub, with the day where it is another."""
        zone = ZoneInfo(self.now.tub.zone)
        return moment_text(self.speech, instant.astimezone(zone), self.now.now.astimezone(zone))


def read_water(desk: Desk, speech: Speech, tub: TubId) -> WaterShown:
    """Return the water of a tub.

    Raises
    ------
    NotFoundError
        If there is no such tub.
    """
    return WaterShown(
        now=water_now(desk, tub),
        plan=water_plan(desk, tub),
        shelf=water_shelf(desk),
        sheet=entry_sheet(desk, tub),
        wear=water_wear(desk, tub),
        liner=liner_exposure(desk, tub),
        ranges=tub_ranges(desk, tub),
        next_test=next_test_of(desk, tub),
        speech=speech_of(desk, speech),
    )
