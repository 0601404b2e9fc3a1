"""The stock of supplies: what lies on the shelf, what it is worth, how long it lasts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QLabel, QSplitter, QStackedWidget, QTabWidget, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.marks import Mark
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.tub_part import TubPart
from tubcare.desktop.tub_supply_forms import CountBox, SupplyBox, UseBox
from tubcare.services.shelf import ShelfLine, shelf
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.money import money
from tubcare.words.numbers import number

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.supplies import Supply

_SOON_DAYS = 28
_LEAST_LIST_PX = 150
_WIDTHS = {0: 30, 3: 30}
_LOW = Mark("late", "late")


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
        self.model = RowsModel(self._columns(), context.icons, identity=_identity)
        self.table = Table(say("On the shelf"), "shelf", self.model, context.keeping)
        letter = self.fontMetrics().averageCharWidth()
        for place, letters in _WIDTHS.items():
            self.table.widen(place, letters * letter)
        empty = EmptyState(
            say("Nothing is stocked yet"),
            say("Purchases in the ledger and what the tasks use stand here."),
        )
        self._list = QStackedWidget()
        self._list.addWidget(self.table)
        self._list.setMinimumHeight(_LEAST_LIST_PX)
        self._list.addWidget(empty)
        self.count = CountBox(context, self.add_page_action(say("Write the count down")))
        self.use = UseBox(context, self.add_page_action(say("Take off the shelf")))
        self.supply = SupplyBox(context, self.add_page_action(say("Keep the supply")))
        self.boxes = (self.count, self.use, self.supply)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(say("What to write down about the supply"))
        titles = (say("Stock-take"), say("Used or expired"), say("Supply"))
        for box, title in zip(self.boxes, titles, strict=True):
            self.tabs.addTab(scrolling(box), title)
            box.written.connect(self._say_written)
        self.told = QLabel()
        self.told.setWordWrap(True)
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.addWidget(self._list)
        splitter.addWidget(self.tabs)
        splitter.setStretchFactor(0, 1)
        splitter.setStretchFactor(1, 0)
        splitter.setChildrenCollapsible(False)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(10, 10, 10, 10)
        rows.addWidget(self.told)
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
        self._today = shown.today
        self.model.set_rows(shown.lines)
        self._list.setCurrentIndex(0 if shown.lines else 1)
        self.told.setText(self._summary(shown))
        self.told.setVisible(bool(shown.lines))
        if shown.lines and self.table.current_row is None:
            self.table.selectRow(0)
        self._choose(self.table.current_row)

    @Slot(object)
    def _choose(self, line: ShelfLine | None) -> None:
        for box in self.boxes:
            box.show_supply(None if line is None else line.supply, self._today)

    @Slot(object)
    def _say_written(self, text: str) -> None:
        self.context.strip.say(text, undo=self.context.undo)

    def _columns(self) -> tuple[Column[ShelfLine], ...]:
        say = self.context.say
        return (
            Column(key="name", title=say("Supply"), text=_name, sort=_name),
            Column(
                key="stock",
                title=say("On the shelf"),
                text=self._stock,
                sort=_stock_key,
                numeric=True,
            ),
            Column(key="value", title=say("Worth"), text=self._value, sort=_value, numeric=True),
            Column(
                key="lasts", title=say("Lasts to"), text=self._lasts, mark=self._mark, sort=_short
            ),
            Column(key="task", title=say("Then short for"), text=_task, stretch=True),
            Column(key="buy", title=say("To buy for a year"), text=self._missing, numeric=True),
        )

    def _summary(self, shown: Shelf) -> str:
        """Return what runs out soon, by name."""
        say, speech = self.context.say, self.context.speech
        until = shown.today + timedelta(days=_SOON_DAYS)
        names = [
            line.supply.name
            for line in shown.lines
            if line.short_on is not None and line.short_on <= until
        ]
        day = medium_date(speech, until)
        if not names:
            return say("The stock lasts beyond {day}, when the plan is kept.", day=day)
        return say(
            "By {day} the plan needs more than there is of: {names}.",
            day=day,
            names=all_of(speech, names),
        )

    def _stock(self, line: ShelfLine) -> str:
        return supply_quantity(self.context, line.supply, line.supply.quantity_milli)

    def _value(self, line: ShelfLine) -> str:
        return money(self.context.speech, line.supply.value_minor)

    def _lasts(self, line: ShelfLine) -> str:
        say = self.context.say
        if line.short_on is None:
            told = say("no use planned") if not line.needed_milli else say("a year or more")
        elif line.supply.quantity_milli < 0:
            told = say("more used than bought")
        elif line.short_on <= self._today:
            told = say("too little now")
        else:
            told = medium_date(self.context.speech, line.lasts_to)
        return say("{when}; below your mark", when=told) if line.supply.is_low else told

    def _mark(self, line: ShelfLine) -> Mark | None:
        soon = line.short_on is not None and (line.short_on - self._today).days <= _SOON_DAYS
        return _LOW if soon or line.supply.is_low else None

    def _missing(self, line: ShelfLine) -> str:
        if not line.missing_milli:
            return ""
        return supply_quantity(self.context, line.supply, line.missing_milli)


def supply_quantity(context: Context, supply: Supply, milli: int) -> str:
    """Return a quantity of a supply with its unit."""
    return context.say(
        "{amount} {unit}", amount=number(context.speech, milli / 1000), unit=supply.unit
    )


def _read(desk: Desk) -> Shelf:
    return Shelf(lines=shelf(desk), today=desk.home_today())


def _identity(line: ShelfLine) -> int:
    return line.supply.id


def _name(line: ShelfLine) -> str:
    return line.supply.name


def _stock_key(line: ShelfLine) -> int:
    return line.supply.quantity_milli


def _value(line: ShelfLine) -> int:
    return line.supply.value_minor


def _short(line: ShelfLine) -> str:
    return "9" if line.short_on is None else line.short_on.isoformat()


def _task(line: ShelfLine) -> str:
    return line.short_for
