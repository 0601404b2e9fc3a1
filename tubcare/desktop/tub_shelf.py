"""The stock of supplies: what lies on the shelf, what it is worth, how long it lasts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
)
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.parting import below
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.table import RowsModel, Table
from tubcare.desktop.tub_part import TubPart
from tubcare.desktop.tub_shelf_cells import SOON_DAYS, ShelfCells, line_id
from tubcare.desktop.tub_supply_box import SupplyBox
from tubcare.desktop.tub_supply_forms import CountBox, UseBox
from tubcare.services.removal import delete_supply
from tubcare.services.shelf import ShelfLine, shelf
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId

_LEAST_LIST_PX = 150
_FIRST_PX = (400, 230)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What the page shows."""

    lines: tuple[ShelfLine, ...]
    today: date


class ShelfPage(TubPart):
    """The shelf as a table, and what can be written down about the chosen supply."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._cells = ShelfCells(context)
        self.model = RowsModel(self._cells.columns(), context.icons, identity=line_id)
        self.table = Table(say("On the shelf"), "shelf", self.model, context.keeping)
        self.count = CountBox(context, self.add_page_action(say("Write the count down")))
        self.use = UseBox(context, self.add_page_action(say("Take off the shelf")))
        self.supply = SupplyBox(context, self.add_page_action(say("Keep the supply")))
        self.boxes = (self.count, self.use, self.supply)
        self.add_action = self.add_page_action(say("Add a supply"), self.begin_supply, icon="add")
        self.delete_action = self.add_page_action(
            say("Delete the supply"), self._delete, keys="Del"
        )
        self.buy_action = self.add_page_action(say("Write a purchase down"), self._buy)
        self._wanted: SupplyId | None = None
        self.supply.added.connect(self._want)
        self._list = self._table_or_empty()
        self.tabs = self._tabs()
        self.told = QLabel()
        self.told.setWordWrap(True)
        splitter = below(self._list, self.tabs, shares=(1, 0), first_px=_FIRST_PX)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(10, 10, 10, 10)
        head = QHBoxLayout()
        head.addWidget(self.told, 1)
        for action in (self.add_action, self.buy_action):
            head.addWidget(ActionButton(action), 0, Qt.AlignmentFlag.AlignTop)
        rows.addLayout(head)
        rows.addWidget(splitter, 1)
        self._today = context.desk.today("UTC")
        self.table.row_chosen.connect(self._choose)

    @override
    def read(self) -> None:
        """Read the shelf and what the plan will take from it."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the shelf"),
            replaces="shelf",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        self.table.setFocus()

    def _show(self, shown: Shelf) -> None:
        self._today = self._cells.today = shown.today
        self.model.set_rows(shown.lines)
        self._list.setCurrentIndex(0 if shown.lines else 1)
        self.told.setText(self._summary(shown))
        self.delete_action.setEnabled(bool(shown.lines))
        if self._wanted is not None and self.table.choose(self._wanted):
            self._wanted = None
        elif shown.lines and self.table.current_row is None:
            self.table.selectRow(0)
        self._choose(self.table.current_row)

    @Slot(object)
    def _choose(self, line: ShelfLine | None) -> None:
        for box in self.boxes:
            box.show_supply(None if line is None else line.supply, self._today)

    @Slot()
    def begin_supply(self) -> None:
        """Take the name of a supply that is not on the list yet."""
        self.tabs.setCurrentIndex(self.boxes.index(self.supply))
        self.supply.begin_new()

    @Slot()
    def _buy(self) -> None:
        self.context.go("ledger")

    @Slot()
    def _delete(self) -> None:
        line = self.table.current_row
        if line is not None:
            self.tabs.setCurrentIndex(self.boxes.index(self.supply))
            self.supply.write(
                partial(delete_supply, self.context.desk, line.supply.id),
                done=partial(self._say_deleted, line.supply.name),
                title=self.context.say("Deleting a supply"),
            )

    def _say_deleted(self, name: str, _nothing: None) -> None:
        self._say_written(self.context.say("Deleted: {what}.", what=name))

    @Slot(object)
    def _want(self, supply: SupplyId) -> None:
        self._wanted = supply
        self.read()

    @Slot(object)
    def _say_written(self, text: str) -> None:
        self.context.strip.say(text, undo=self.context.undo)

    def _table_or_empty(self) -> QStackedWidget:
        say = self.context.say
        stack = QStackedWidget()
        stack.setMinimumHeight(_LEAST_LIST_PX)
        stack.addWidget(self.table)
        stack.addWidget(
            EmptyState(
                say("Nothing is stocked yet"),
                say("Purchases in the ledger and what the tasks use stand here."),
                self.add_action,
            )
        )
        return stack

    def _tabs(self) -> QTabWidget:
        say = self.context.say
        tabs = QTabWidget()
        tabs.setAccessibleName(say("What to write down about the supply"))
        titles = (say("Stock-take"), say("Used or expired"), say("Supply"))
        for box, title in zip(self.boxes, titles, strict=True):
            tabs.addTab(scrolling(box), title)
            box.written.connect(self._say_written)
        return tabs

    def _summary(self, shown: Shelf) -> str:
        """Return what runs out soon, by name."""
        say, speech = self.context.say, self.context.speech
        until = shown.today + timedelta(days=SOON_DAYS)
        names = [
            line.supply.name
            for line in shown.lines
            if line.short_on is not None and line.short_on <= until
        ]
        day = medium_date(speech, until)
        if not shown.lines:
            return ""
        if not names:
            return say("The stock lasts beyond {day}, when the plan is kept.", day=day)
        return say(
            "By {day} the plan needs more than there is of: {names}.",
            day=day,
            names=all_of(speech, names),
        )


def _read(desk: Desk) -> Shelf:
    return Shelf(lines=shelf(desk), today=desk.home_today())
