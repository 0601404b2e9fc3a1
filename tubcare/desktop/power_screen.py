"""The section Power: what the cold costs, frost, build and tariff of each tub."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.power_build_page import PowerBuildPage
from tubcare.desktop.power_cautions_page import PowerCautionsPage
from tubcare.desktop.power_frost_page import PowerFrostPage
from tubcare.desktop.power_hours_page import PowerHoursPage
from tubcare.desktop.power_ideas_page import PowerIdeasPage
from tubcare.desktop.power_learn_page import PowerLearnPage
from tubcare.desktop.power_now_page import PowerNowPage
from tubcare.desktop.power_tariff_page import PowerTariffPage
from tubcare.desktop.power_weather_page import PowerWeatherPage
from tubcare.desktop.screen import EmptyState, Screen
from tubcare.services.topics import Topic
from tubcare.services.tubs import Tub, tubs

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import TubPart
    from tubcare.services.topics import Topics

_CHOSEN = "power/chosen"
_PAGES = (
    "season",
    "frost",
    "ideas",
    "hours",
    "learn",
    "weather",
    "build",
    "tariff",
    "cautions",
)


class PowerScreen(Screen):
    """Chooses a tub and shows its pages; a page is read when it comes to the front."""

    topics: ClassVar[Topics] = frozenset(
        {Topic.MEASURES, Topic.MONEY, Topic.TUBS, Topic.UPKEEP, Topic.SETTINGS}
    )

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Power"))
        self._tubs: tuple[Tub, ...] = ()
        self.choice = QComboBox()
        self.choice.setAccessibleName(say("Which tub"))
        self.choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.now = PowerNowPage(context)
        self.frost = PowerFrostPage(context)
        self.ideas = PowerIdeasPage(context)
        self.hours = PowerHoursPage(context)
        self.learn = PowerLearnPage(context)
        self.weather = PowerWeatherPage(context)
        self.build = PowerBuildPage(context)
        self.tariff = PowerTariffPage(context)
        self.cautions = PowerCautionsPage(context)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(say("Pages about power"))
        self.tabs.setDocumentMode(True)
        self.parts: tuple[TubPart, ...] = (
            self.now,
            self.frost,
            self.ideas,
            self.hours,
            self.learn,
            self.weather,
            self.build,
            self.tariff,
            self.cautions,
        )
        titles = (
            say("Season"),
            say("Frost"),
            say("What if"),
            say("Hours"),
            say("Learn"),
            say("Weather"),
            say("Build"),
            say("Tariff"),
            say("Cautions"),
        )
        for part, title in zip(self.parts, titles, strict=True):
            self.tabs.addTab(part, title)
        first = self.add_action(say("Describe your tub"), self._begin)
        self.menu_actions.remove(first)
        self._pages = QStackedWidget()
        self._pages.addWidget(self._chosen_page())
        self._pages.addWidget(
            EmptyState(
                say("There is no tub in this logbook yet"),
                say("Four short pages describe it; then its power and frost are told here."),
                first,
            )
        )
        self.body.addWidget(self._pages, 1)
        self.choice.activated.connect(self._choose)
        self.tabs.currentChanged.connect(self._turn)
        self.now.page_wanted.connect(self.show_subject)

    @override
    def refresh(self) -> None:
        """Read the tubs anew, and the page that is in front."""
        self.context.work.on_logbook(
            partial(tubs, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the tubs"),
            replaces="power tubs",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the page in front."""
        self.parts[self.tabs.currentIndex()].take_focus()

    @Slot(object)
    @override
    def show_subject(self, subject: object) -> None:
        """Turn to a page by its name, or choose a tub."""
        if subject in _PAGES:
            self.tabs.setCurrentIndex(_PAGES.index(str(subject)))
            return
        at = self.choice.findData(subject)
        if at >= 0:
            self.choice.setCurrentIndex(at)
            self._choose()

    @property
    def tub(self) -> Tub | None:
        """Return the chosen tub."""
        at = self.choice.currentIndex()
        return self._tubs[at] if 0 <= at < len(self._tubs) else None

    def _show(self, found: tuple[Tub, ...]) -> None:
        self._tubs = found
        chosen = self.choice.currentData() or self.context.keeping.number(_CHOSEN, 0)
        self.choice.clear()
        for tub in found:
            self.choice.addItem(tub.name, tub.id)
        self.choice.setCurrentIndex(max(0, self.choice.findData(chosen)))
        self.choice.setVisible(len(found) > 1)
        self._pages.setCurrentIndex(0 if found else 1)
        self._show_tub()
        self._turn()

    @Slot()
    def _choose(self) -> None:
        self.context.keeping.keep(_CHOSEN, self.choice.currentData())
        self._show_tub()

    def _show_tub(self) -> None:
        tub = self.tub
        if tub is not None:
            self.parts[self.tabs.currentIndex()].show_tub(tub)

    @Slot()
    def _turn(self) -> None:
        """Show the page in front anew, and its actions in the menu."""
        part = self.parts[self.tabs.currentIndex()]
        self.menu_actions[:] = part.actions_of_page if self._tubs else []
        self.actions_changed.emit(self)
        if self.tub is not None and part.tub is not self.tub:
            part.show_tub(self.tub)

    @Slot()
    def _begin(self) -> None:
        self.context.go("first_run")

    def _chosen_page(self) -> QWidget:
        page = QWidget()
        rows = QVBoxLayout(page)
        rows.setContentsMargins(0, 0, 0, 0)
        row = QHBoxLayout()
        row.addWidget(self.choice)
        row.addStretch()
        rows.addLayout(row)
        rows.addWidget(self.tabs, 1)
        return page
