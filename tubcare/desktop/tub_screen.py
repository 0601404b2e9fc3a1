"""The section Tub: quick entry, season, profile and supplies of each tub in the logbook."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.season_words import state_line
from tubcare.desktop.tub_pages import TubPages
from tubcare.services.household import is_started
from tubcare.services.measures import add_dip
from tubcare.services.topics import Topic
from tubcare.services.tub_states import SeasonNow, season_now
from tubcare.services.tubs import Tub, tubs

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_new import NewTub
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.plans import AddedTub
    from tubcare.services.topics import Topics
    from tubcare.values import TubId

_CHOSEN = "tub/chosen"
_TUBS, _NONE, _NEW = range(3)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubsShown:
    """The tubs of the logbook, each with where it stands in its season."""

    tubs: tuple[Tub, ...]
    seasons: tuple[SeasonNow, ...]
    started: bool


class TubScreen(Screen):
    """Chooses a tub and shows its pages; a page is read when it comes to the front."""

    topics: ClassVar[Topics] = frozenset(
        {
            Topic.TUBS,
            Topic.TASKS,
            Topic.UPKEEP,
            Topic.MEASURES,
            Topic.STOCK,
            Topic.MONEY,
            Topic.PEOPLE,
        }
    )

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Tub"))
        self._shown = TubsShown(tubs=(), seasons=(), started=True)
        self.choice = QComboBox()
        self.choice.setAccessibleName(say("Which tub"))
        self.choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.tabs = TubPages(context)
        self.dip_action = self.add_action(
            say("&Dip +1"), self._one_dip, icon="dips", keys="Ctrl+D", main=True
        )
        self.add_tub_action = self.add_action(
            say("Add a tub"), self._begin_tub, icon="add", button=True
        )
        self._common = tuple(self.menu_actions)
        first = self.add_action(say("Describe your tub"), self._begin)
        self.menu_actions.remove(first)
        self._pages = QStackedWidget()
        self._pages.addWidget(self._chosen_page())
        self._pages.addWidget(
            EmptyState(
                say("There is no tub in this logbook yet"),
                say("Four short pages describe it and draw up its care plan."),
                first,
            )
        )
        self.body.addWidget(self._pages, 1)
        self.choice.activated.connect(self._choose)
        self.tabs.currentChanged.connect(self._turn)

    @override
    def refresh(self) -> None:
        """Read the tubs anew, and the page that is in front."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the tubs"),
            replaces="tubs",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the page in front."""
        if self._is_adding:
            self.new_tub.form.name.setFocus()
            return
        self.tabs.front().take_focus()

    @override
    def show_subject(self, subject: object) -> None:
        """Show a tub, or the procedure of a task, that another screen sent the person to."""
        at = self.choice.findData(subject)
        if at >= 0:
            self.choice.setCurrentIndex(at)
            self._choose()

    @cached_property
    def new_tub(self) -> NewTub:
        """Return the page on which a further tub is described, made when first wanted."""
        from tubcare.desktop.tub_new import NewTub  # noqa: PLC0415  seldom needed

        made = NewTub(self.context)
        self._pages.addWidget(made)
        made.added.connect(self._show_added)
        made.left.connect(self._leave_new)
        made.pages.currentChanged.connect(self._turn)
        return made

    @property
    def tub(self) -> Tub | None:
        """Return the chosen tub."""
        at = self.choice.currentIndex()
        return self._shown.tubs[at] if 0 <= at < len(self._shown.tubs) else None

    def _show(self, shown: TubsShown) -> None:
        self._shown = shown
        chosen = self.choice.currentData() or self.context.keeping.number(_CHOSEN, 0)
        self.choice.clear()
        for tub in shown.tubs:
            self.choice.addItem(tub.name, tub.id)
        self.choice.setCurrentIndex(max(0, self.choice.findData(chosen)))
        self.choice.setVisible(len(shown.tubs) > 1)
        if not self._is_adding:
            self._pages.setCurrentIndex(_TUBS if shown.tubs else _NONE)
        self.add_tub_action.setEnabled(bool(shown.tubs))
        self.dip_action.setEnabled(bool(shown.tubs))
        self._show_tub()
        self._turn()

    @Slot()
    def _choose(self) -> None:
        self.context.keeping.keep(_CHOSEN, self.choice.currentData())
        self._show_tub()

    def _show_tub(self) -> None:
        tub = self.tub
        if tub is None:
            self.say_below_title("")
            return
        now = self._shown.seasons[self.choice.currentIndex()]
        self.say_below_title(state_line(self.context.speech, tub, now))
        self.tabs.front().show_tub(tub)

    @Slot()
    def _turn(self) -> None:
        """Show the page in front anew, and its actions in the menu."""
        part = self.tabs.front()
        actions = part.actions_of_page if self._shown.tubs else []
        if self._is_adding:
            actions = self.new_tub.actions_of_page
        self.menu_actions[:] = [*self._common, *actions]
        self.actions_changed.emit(self)
        if self.tub is not None and part.tub is not self.tub:
            part.show_tub(self.tub)

    @Slot()
    def _one_dip(self) -> None:
        if self.tub is not None:
            self._add_dip(self.tub.id)

    def _add_dip(self, tub: TubId) -> None:
        self.context.work.on_logbook(
            partial(add_dip, self.context.desk, tub),
            done=self._say_dip,
            title=self.context.say("Writing down a dip"),
        )

    def _say_dip(self, place: TubPlace) -> None:
        text = self.context.speech.say_count(
            "One dip in {tub} written down.",
            "{n} dips in {tub} written down.",
            1,
            tub=place.name,
        )
        self.context.strip.say(text, undo=self.context.undo)

    @Slot()
    def _begin(self) -> None:
        """Describe the first tub: with the first run, which asks for the currency too."""
        if self._shown.started:
            self._begin_tub()
        else:
            self.context.go("first_run")

    @property
    def _is_adding(self) -> bool:
        return self._pages.currentIndex() == _NEW

    @Slot()
    def _begin_tub(self) -> None:
        if not self._is_adding:
            self._pages.setCurrentWidget(self.new_tub)
            self.new_tub.begin(None if self.tub is None else self.tub.profile)
            self._turn()

    @Slot(object)
    def _show_added(self, added: AddedTub) -> None:
        self.context.keeping.keep(_CHOSEN, added.tub)
        self.choice.clear()
        self._leave_new()

    @Slot()
    def _leave_new(self) -> None:
        self._pages.setCurrentIndex(_TUBS)
        self.refresh()

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


def _read(desk: Desk) -> TubsShown:
    found = tubs(desk)
    return TubsShown(
        tubs=found,
        seasons=tuple(season_now(desk, tub.id) for tub in found),
        started=is_started(desk),
    )
