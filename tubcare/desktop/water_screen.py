"""The section Water: how it stands, and what to do about it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from typing_extensions import override

from tubcare.desktop.tub_section import TubSection
from tubcare.desktop.water_course_page import WaterCoursePage
from tubcare.desktop.water_entry_page import WaterEntryPage
from tubcare.desktop.water_file_page import WaterFilePage
from tubcare.desktop.water_kit_page import WaterKitPage
from tubcare.desktop.water_now_page import WaterNowPage
from tubcare.desktop.water_part import WaterPart
from tubcare.desktop.water_plan_page import WaterPlanPage
from tubcare.desktop.water_ranges_page import WaterRangesPage
from tubcare.desktop.water_read import WaterShown, read_water
from tubcare.desktop.water_shelf_page import WaterShelfPage
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import Part
    from tubcare.services.topics import Topics


class WaterScreen(TubSection):
    """Shows the water of one tub on its pages."""

    topics: ClassVar[Topics] = frozenset({Topic.MEASURES, Topic.TUBS, Topic.STOCK})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Water"))
        self._shown: WaterShown | None = None
        self.now = self.add_page("now", say("Now"), WaterNowPage)
        self.entry = self.add_page("entry", say("Enter a test"), WaterEntryPage)
        self.plan = self.add_page("plan", say("What to add"), WaterPlanPage)
        self.course = self.add_page("course", say("Course"), WaterCoursePage)
        self.shelf = self.add_page("shelf", say("Shelf"), WaterShelfPage)
        self.kit = self.add_page("kit", say("Kit"), WaterKitPage)
        self.ranges = self.add_page("ranges", say("Ranges"), WaterRangesPage)
        self.files = self.add_page("files", say("Files"), WaterFilePage)
        self.add_action(
            say("Enter a &test"), self._enter, icon="edit", keys="Ctrl+Return", button=True
        )
        self.lay_out(
            pages=say("Pages about the water"),
            needed=say("Describe your tub first; then its water can be tested here."),
        )

    @override
    def show_chosen(self) -> None:
        """Read the water of the tub for all pages."""
        if self.tub is None:
            super().show_chosen()
            return
        self.context.work.on_logbook(
            partial(read_water, self.context.desk, self.context.speech, self.tub.id),
            done=self._show_water,
            title=self.context.say("Reading the water"),
            replaces="water",
        )

    @override
    def show_on(self, part: Part) -> None:
        """Let a page show the water that was read."""
        if isinstance(part, WaterPart) and self._shown is not None:
            part.show_water(self._shown)

    def _show_water(self, shown: WaterShown) -> None:
        self._shown = shown
        super().show_chosen()

    @Slot()
    def _enter(self) -> None:
        self.show_subject("entry")
        self.take_focus()
