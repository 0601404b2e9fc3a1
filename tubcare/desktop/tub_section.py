"""A section about one tub at a time: the choice of the tub, and the pages about it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Generic, TypeVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QTabWidget, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.screen import Screen
from tubcare.desktop.tub_needed import TubNeeded
from tubcare.desktop.tub_part import Part, TubPart
from tubcare.services.tubs import Tub, tubs

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QAction, QShowEvent

    from tubcare.desktop.screen import Context

P = TypeVar("P", bound=Part)
P_co = TypeVar("P_co", bound=Part, covariant=True)

_CHOSEN = "tub/chosen"


class LazyPage(QWidget, Generic[P_co]):
    """Holds a page that is made when it is first asked for."""

    def __init__(self, make: Callable[[], P_co]) -> None:
        super().__init__()
        self._make = make
        self._made: P_co | None = None
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self.is_stale = True
        """Whether something was read that the page has not shown yet."""

    def __call__(self) -> P_co:
        """Return the page."""
        if self._made is None:
            self._made = self._make()
            self._rows.addWidget(self._made)
            # A layout shows it a turn of the loop later: too late for the keyboard.
            self._made.show()
        return self._made


class TubSection(Screen):
    """Chooses a tub, the same one in every section; its pages show it when they come to the front.

    A section adds its actions and pages, then calls `lay_out`.
    """

    def __init__(self, context: Context, title: str) -> None:
        super().__init__(context, title)
        self._tubs: tuple[Tub, ...] = ()
        self._pages: dict[str, LazyPage[Part]] = {}
        self._common: tuple[QAction, ...] = ()
        self.choice = QComboBox()
        self.choice.setAccessibleName(context.say("Which tub"))
        self.choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.choice, 0, Qt.AlignmentFlag.AlignLeft)
        rows.addWidget(self.tabs, 1)
        self._content = content

    def add_page(self, name: str, title: str, make: Callable[[Context], P]) -> LazyPage[P]:
        """Return a further page; other screens turn to it by its name."""
        page = LazyPage(partial(make, self.context))
        self._pages[name] = page
        self.tabs.addTab(page, title)
        return page

    def lay_out(self, *, pages: str, needed: str) -> None:
        """Put the pages in place.

        Parameters
        ----------
        pages
            Accessible name of the tabs.
        needed
            What a tub is described for, told while there is none.
        """
        self._common = tuple(self.menu_actions)
        self.tabs.setAccessibleName(pages)
        self.needed = TubNeeded(self, self._content, needed, describe=self.describe)
        self.body.addWidget(self.needed, 1)
        self.choice.activated.connect(self._choose)
        self.tabs.currentChanged.connect(self.turn)

    @property
    def tub(self) -> Tub | None:
        """Return the chosen tub."""
        at = self.choice.currentIndex()
        return self._tubs[at] if 0 <= at < len(self._tubs) else None

    @property
    def front(self) -> LazyPage[Part]:
        """Return the page in front."""
        return tuple(self._pages.values())[self.tabs.currentIndex()]

    @override
    def refresh(self) -> None:
        """Read the tubs anew, and the page that is in front."""
        self.context.work.on_logbook(
            partial(tubs, self.context.desk),
            done=self._show_tubs,
            title=self.context.say("Reading the tubs"),
            replaces=f"tubs of {type(self).__name__}",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the page in front."""
        self.front().take_focus()

    @override
    def show_subject(self, subject: object) -> None:
        """Turn to a page by its name, or choose a tub."""
        if isinstance(subject, str) and subject in self._pages:
            self.tabs.setCurrentWidget(self._pages[subject])
        elif isinstance(subject, int):
            self.context.keeping.keep(_CHOSEN, subject)
            self._follow()

    @override
    def showEvent(self, event: QShowEvent) -> None:
        """Follow a choice that was made in another section."""
        super().showEvent(event)
        self._follow()

    @Slot()
    def describe(self) -> None:
        """Go where a first tub is described."""
        self.context.go("tub")

    def show_chosen(self) -> None:
        """Show another tub, or the same one read anew; to be extended by what else is read."""
        for page in self._pages.values():
            page.is_stale = True
        self.turn()

    def show_on(self, part: Part) -> None:
        """Let a page show the chosen tub."""
        if isinstance(part, TubPart) and self.tub is not None:
            part.show_tub(self.tub)

    def actions_in_front(self) -> Sequence[QAction]:
        """Return what can be done beside what the section can always do."""
        return self.front().actions_of_page if self._tubs else (self.needed.action,)

    @Slot()
    def turn(self) -> None:
        """Let the page in front show what it has not shown yet, and its actions in the menu."""
        self.menu_actions[:] = [*self._common, *self.actions_in_front()]
        self.actions_changed.emit(self)
        if self._tubs and self.front.is_stale:
            self.front.is_stale = False
            self.show_on(self.front())

    def _show_tubs(self, found: tuple[Tub, ...]) -> None:
        self._tubs = found
        self.choice.clear()
        for tub in found:
            self.choice.addItem(tub.name, tub.id)
        self.choice.setCurrentIndex(max(0, self._kept()))
        self.choice.setVisible(len(found) > 1)
        self.needed.show_for(len(found))
        self.show_chosen()

    def _kept(self) -> int:
        return self.choice.findData(self.context.keeping.number(_CHOSEN, 0))

    def _follow(self) -> None:
        at = self._kept()
        if at not in {-1, self.choice.currentIndex()}:
            self.choice.setCurrentIndex(at)
            self.show_chosen()

    @Slot()
    def _choose(self) -> None:
        self.context.keeping.keep(_CHOSEN, self.choice.currentData())
        self.show_chosen()
