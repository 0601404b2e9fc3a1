"""The section Tub: quick entry, season, profile and supplies of each tub in the logbook."""

from __future__ import annotations

from functools import cached_property, partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from typing_extensions import override

from tubcare.desktop.season_words import state_line
from tubcare.desktop.tub_quick import QuickPage
from tubcare.desktop.tub_section import TubSection
from tubcare.services.household import is_started
from tubcare.services.measures import add_dip
from tubcare.services.topics import Topic
from tubcare.services.tub_states import season_now

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_new import NewTub
    from tubcare.desktop.tub_profile import ProfilePage
    from tubcare.desktop.tub_season import SeasonPage
    from tubcare.desktop.tub_shelf import ShelfPage
    from tubcare.services.measures import TubPlace
    from tubcare.services.plans import AddedTub
    from tubcare.services.topics import Topics
    from tubcare.services.tub_states import SeasonNow


class TubScreen(TubSection):
    """Shows the pages of a tub, where it stands in its season, and describes further tubs."""

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
        self.quick = self.add_page("quick", say("Write down"), QuickPage)
        self.season = self.add_page("season", say("Season"), _season)
        self.profile = self.add_page("profile", say("Profile"), _profile)
        self.shelf = self.add_page("shelf", say("Supplies"), _shelf)
        self.dip_action = self.add_action(
            say("&Dip +1"), self._one_dip, icon="dips", keys="Ctrl+D", main=True
        )
        self.add_tub_action = self.add_action(
            say("Add a tub"), self._begin_tub, icon="add", button=True
        )
        self.lay_out(
            pages=say("Pages of the tub"),
            needed=say("Four short pages describe it and draw up its care plan."),
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the page in front."""
        if self._is_adding:
            self.new_tub.form.name.setFocus()
            return
        super().take_focus()

    @override
    def actions_in_front(self) -> Sequence[QAction]:
        """Return what can be done with the page in front."""
        if self._is_adding:
            return self.new_tub.actions_of_page
        return super().actions_in_front()

    @override
    def show_chosen(self) -> None:
        """Show the tub, and where it stands in its season."""
        super().show_chosen()
        if self.tub is None:
            self.say_below_title("")
            return
        self.context.work.on_logbook(
            partial(season_now, self.context.desk, self.tub.id),
            done=self._show_season,
            title=self.context.say("Reading the season"),
            replaces="season of the tub",
        )

    @cached_property
    def new_tub(self) -> NewTub:
        """Return the page on which a further tub is described, made when first wanted."""
        from tubcare.desktop.tub_new import NewTub  # noqa: PLC0415  seldom needed

        made = NewTub(self.context)
        made.hide()
        self.body.addWidget(made, 1)
        made.added.connect(self._show_added)
        made.left.connect(self._leave_new)
        made.pages.currentChanged.connect(self.turn)
        return made

    @Slot()
    @override
    def describe(self) -> None:
        """Describe the first tub: with the first run, which asks for the currency too."""
        self.context.work.on_logbook(
            partial(is_started, self.context.desk),
            done=self._describe,
            title=self.context.say("Reading the tubs"),
        )

    def _describe(self, started: bool) -> None:  # noqa: FBT001  what was read
        if started:
            self._begin_tub()
        else:
            self.context.go("first_run")

    def _show_season(self, now: SeasonNow) -> None:
        if self.tub is not None:
            self.say_below_title(state_line(self.context.speech, self.tub, now))

    @Slot()
    def _one_dip(self) -> None:
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(add_dip, self.context.desk, self.tub.id),
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

    @property
    def _is_adding(self) -> bool:
        return self.needed.isHidden()

    @Slot()
    def _begin_tub(self) -> None:
        if not self._is_adding:
            self.new_tub.show()
            self.needed.hide()
            self.new_tub.begin(None if self.tub is None else self.tub.profile)
            self.turn()

    @Slot(object)
    def _show_added(self, added: AddedTub) -> None:
        self.show_subject(added.tub)
        self._leave_new()

    @Slot()
    def _leave_new(self) -> None:
        self.new_tub.hide()
        self.needed.show()
        self.refresh()


def _season(context: Context) -> SeasonPage:
    from tubcare.desktop.tub_season import SeasonPage  # noqa: PLC0415  loaded when first shown

    return SeasonPage(context)


def _profile(context: Context) -> ProfilePage:
    from tubcare.desktop.tub_profile import ProfilePage  # noqa: PLC0415  as above

    return ProfilePage(context)


def _shelf(context: Context) -> ShelfPage:
    from tubcare.desktop.tub_shelf import ShelfPage  # noqa: PLC0415  as above

    return ShelfPage(context)
