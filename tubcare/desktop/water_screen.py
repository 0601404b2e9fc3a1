"""The section Water: how it stands, and what to do about it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QStackedLayout, QTabWidget, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.water_course_page import WaterCoursePage
from tubcare.desktop.water_entry_page import WaterEntryPage
from tubcare.desktop.water_file_page import WaterFilePage
from tubcare.desktop.water_kit_page import WaterKitPage
from tubcare.desktop.water_now_page import WaterNowPage
from tubcare.desktop.water_plan_page import WaterPlanPage
from tubcare.desktop.water_ranges_page import WaterRangesPage
from tubcare.desktop.water_read import WaterShown, read_water
from tubcare.desktop.water_shelf_page import WaterShelfPage
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.topics import Topics
    from tubcare.values import TubId


class WaterScreen(Screen):
    """Shows the water of one tub on a few pages."""

    topics: ClassVar[Topics] = frozenset({Topic.MEASURES, Topic.TUBS, Topic.STOCK})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Water"))
        self._tub: TubId | None = None
        self.tubs = QComboBox()
        self.tubs.setAccessibleName(say("Tub"))
        self.tubs.activated.connect(self._choose)
        self.now = WaterNowPage(context)
        self.entry = WaterEntryPage(context)
        self.plan = WaterPlanPage(context)
        self.shelf = WaterShelfPage(context)
        self.course = WaterCoursePage(context)
        self.kit = WaterKitPage(context)
        self.ranges = WaterRangesPage(context)
        self.files = WaterFilePage(context)
        self.pages = QTabWidget()
        self.pages.setAccessibleName(say("Pages about the water"))
        self.pages.setDocumentMode(True)
        self.pages.addTab(self.now, say("Now"))
        self.pages.addTab(self.entry, say("Enter a test"))
        self.pages.addTab(self.plan, say("What to add"))
        self.pages.addTab(self.course, say("Course"))
        self.pages.addTab(self.shelf, say("Shelf"))
        self.pages.addTab(self.kit, say("Kit"))
        self.pages.addTab(self.ranges, say("Ranges"))
        self.pages.addTab(self.files, say("Files"))
        self._named: dict[str, QWidget] = {
            "now": self.now,
            "entry": self.entry,
            "plan": self.plan,
            "shelf": self.shelf,
            "course": self.course,
            "kit": self.kit,
            "ranges": self.ranges,
            "files": self.files,
        }
        self.add_action(
            say("Enter a &test"), self._enter, icon="edit", keys="Ctrl+Return", button=True
        )
        shown = QWidget()
        rows = QVBoxLayout(shown)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.tubs, 0, Qt.AlignmentFlag.AlignLeft)
        rows.addWidget(self.pages, 1)
        empty = EmptyState(
            say("There is no tub yet"),
            say("Describe your tub first; then its water can be tested here."),
        )
        holder = QWidget()
        self._stack = QStackedLayout(holder)
        self._stack.addWidget(shown)
        self._stack.addWidget(empty)
        self.body.addWidget(holder, 1)

    @override
    def refresh(self) -> None:
        """Read the water anew."""
        self.context.work.on_logbook(
            partial(read_water, self.context.desk, self.context.speech, self._tub),
            done=self._show,
            title=self.context.say("Reading the water"),
            replaces="water",
        )

    @override
    def show_subject(self, subject: object) -> None:
        """Turn to a page by its name: now, entry, plan, shelf."""
        page = self._named.get(str(subject))
        if page is not None:
            self.pages.setCurrentWidget(page)

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the page that is shown."""
        page = self.pages.currentWidget()
        if page is self.plan:
            self.plan.take_focus()
        elif page is self.entry:
            self.entry.take_focus()
        else:
            self.now.table.setFocus()

    @Slot()
    def _enter(self) -> None:
        self.pages.setCurrentWidget(self.entry)
        self.entry.take_focus()

    def _show(self, shown: WaterShown | None) -> None:
        self._stack.setCurrentIndex(1 if shown is None else 0)
        if shown is None:
            return
        self._tub = shown.now.tub.id
        self.tubs.clear()
        for each in shown.tubs:
            self.tubs.addItem(each.name, each.id)
        self.tubs.setCurrentIndex(self.tubs.findData(self._tub))
        self.tubs.setVisible(len(shown.tubs) > 1)
        self.now.show_water(shown)
        self.entry.show_water(shown)
        self.plan.show_water(shown)
        self.shelf.show_water(shown)
        self.course.show_water(shown)
        self.kit.show_water(shown)
        self.ranges.show_water(shown)
        self.files.show_water(shown)

    @Slot(int)
    def _choose(self, _index: int) -> None:
        self._tub = self.tubs.currentData()
        self.refresh()
