"""A list of upkeep with room beside it, where the details of work are filled in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QSplitter
from typing_extensions import override

from tubcare.desktop.upkeep_tell import UpkeepTeller

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tasks_errands import Errand
    from tubcare.desktop.tasks_pane import DetailsPane
    from tubcare.services.upkeep_model import Ticked
    from tubcare.services.upkeep_work import EarlyWorkError
    from tubcare.values import CompletionId, TaskId

LIST_SHARE, PANE_SHARE = 5, 3
ROOMY_LETTERS = 134


class UpkeepSide(QSplitter):
    """Keeps a list and, beside it, what stands there by itself and the pane when it is needed."""

    def __init__(
        self,
        context: Context,
        section: str,
        main: QWidget,
        beside: QWidget | None = None,
        *,
        keyboard: QWidget | None = None,
    ) -> None:
        """Lay the parts out; `keyboard` is what gets the focus back, `main` when None."""
        super().__init__(Qt.Orientation.Horizontal)
        self._context = context
        self._keyboard = main if keyboard is None else keyboard
        self._beside = beside
        self._pane: DetailsPane | None = None
        self.teller = UpkeepTeller(context, section, self)
        self.setChildrenCollapsible(False)
        self.addWidget(main)
        if beside is not None:
            self.addWidget(beside)
        self._share()

    @property
    def pane(self) -> DetailsPane:
        """Return the pane; it is made when it is first needed."""
        if self._pane is None:
            # The window shows the week before anybody fills in anything.
            from tubcare.desktop.tasks_pane import DetailsPane  # noqa: PLC0415

            self._pane = DetailsPane(self._context)
            self._pane.hide()
            self.addWidget(self._pane)
            self._share()
            self._pane.opened.connect(self._show_pane)
            self._pane.closed.connect(self._hide_pane)
            self._pane.done.connect(self._tell)
        return self._pane

    def fill_in(self, errand: Errand, early: EarlyWorkError | None = None) -> None:
        """Show what there is to fill in for one errand."""
        self.pane.open(errand, early)

    def record(
        self, task: TaskId, key: str | None = None, *, early: EarlyWorkError | None = None
    ) -> None:
        """Ask for all about work: on the occurrence of that key, or done freely without one.

        `early` asks at once whether the clock of early work starts anew.
        """
        from tubcare.desktop.tasks_errands import RecordWork  # noqa: PLC0415  as above

        self.fill_in(RecordWork(task, key), early)

    def amend(self, completion: CompletionId) -> None:
        """Show a record to be changed."""
        from tubcare.desktop.tasks_errands import AmendWork  # noqa: PLC0415  as above

        self.fill_in(AmendWork(completion))

    def skip(self, task: TaskId, key: str | None = None) -> None:
        """Ask why an occurrence (the open one without a key) is dropped."""
        from tubcare.desktop.tasks_errands import SkipWork  # noqa: PLC0415  as above

        self.fill_in(SkipWork(task, key))

    def put_off(self, task: TaskId, key: str | None = None) -> None:
        """Ask to which day an occurrence (the open one without a key) is moved."""
        from tubcare.desktop.tasks_errands import PutOffWork  # noqa: PLC0415  as above

        self.fill_in(PutOffWork(task, key))

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand below each other where there is no room beside each other."""
        narrow = event.size().width() < ROOMY_LETTERS * self.fontMetrics().averageCharWidth()
        wanted = Qt.Orientation.Vertical if narrow else Qt.Orientation.Horizontal
        if wanted is not self.orientation():
            self.setOrientation(wanted)
            self._give()
        super().resizeEvent(event)

    def _share(self) -> None:
        self.setStretchFactor(0, LIST_SHARE)
        for place in range(1, self.count()):
            self.setStretchFactor(place, PANE_SHARE)

    @Slot(object)
    def _show_pane(self, _nothing: object) -> None:
        if self._beside is not None:
            self._beside.hide()
        self.pane.show()
        self._give()

    def _give(self) -> None:
        """Give the list and what stands beside it their shares."""
        across = self.orientation() is Qt.Orientation.Horizontal
        room = self.width() if across else self.height()
        shares = (LIST_SHARE, PANE_SHARE) if across else (PANE_SHARE, LIST_SHARE)
        list_room, pane_room = (room * share // sum(shares) for share in shares)
        self.setSizes([list_room, *[pane_room] * (self.count() - 1)])

    @Slot(object)
    def _hide_pane(self, _nothing: object) -> None:
        self.pane.hide()
        if self._beside is not None:
            self._beside.show()
        self._keyboard.setFocus()

    @Slot(object)
    def _tell(self, done: tuple[Errand, Ticked]) -> None:
        errand, ticked = done
        self.teller.told(errand.kind, ticked)
