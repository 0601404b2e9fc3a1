"""A supply itself: adding one, its name, unit and kind of cost, and when it counts as low."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox
from typing_extensions import override

from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.tub_supply_forms import OfSupply
from tubcare.ledger.categories import SpendCategory
from tubcare.services.supplies import change_supply, new_supply
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.supplies import Supply
    from tubcare.values import SupplyId


class SupplyBox(OfSupply):
    """The supply itself: name, unit, kind of cost, and when the shelf is called low."""

    added = Signal(object)
    """Carries the `SupplyId` of a supply that was added."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, action)
        action.triggered.connect(self.write_down)
        say, voice = context.say, context.voice
        self.name = TextEntry("supply", voice, required=True)
        self.unit = TextEntry("unit", voice, required=True)
        self.kind = QComboBox()
        for category in SpendCategory:
            self.kind.addItem(money_word(context.speech, category), category.value)
        self.low = NumberEntry("low_milli", voice, decimals=3)
        self.form.add_row("supply", say("Name"), self.name, read=self.name.read)
        self.form.add_row("unit", say("Unit"), self.unit, read=self.unit.read)
        self.form.add_row("category", say("Kind of cost"), self.kind)
        self.form.add_row(
            "low_milli",
            say("Low below"),
            self.low,
            read=self.low.number,
            hint=say("May stay empty; the plan's own outlook is told in any case"),
        )
        self._shown: Supply | None = None
        self._is_new = False

    def begin_new(self) -> None:
        """Take the name and the unit of a supply that is not stocked yet."""
        self._is_new = True
        self._shown = None
        self.setEnabled(True)
        self.action.setEnabled(True)
        self.action.setText(self.context.say("Add it to the shelf"))
        for entry in (self.name, self.unit, self.low):
            entry.clear()
        self.name.setFocus()

    @override
    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Show the supply, unless it is the one that is being changed, or one is being added."""
        if self._is_new and supply == self.supply:
            return
        self._is_new = False
        self.action.setText(self.context.say("Keep the supply"))
        super().show_supply(supply, today)
        if supply is None or (self._shown is not None and _same(self._shown, supply)):
            return
        self._shown = supply
        self.name.setText(supply.name)
        self.unit.setText(supply.unit)
        self.kind.setCurrentIndex(self.kind.findData(supply.category.value))
        self.low.fill(None if supply.low_milli is None else supply.low_milli / 1000)

    @Slot()
    def write_down(self) -> None:
        """Keep the supply as it stands in the form."""
        if not self.form.check():
            return
        if self._is_new:
            self._add()
        elif self.supply is not None:
            self._keep(self.supply)

    def _add(self) -> None:
        low = self.low.number()
        call = partial(
            new_supply,
            self.context.desk,
            name=self.name.read(),
            unit=self.unit.read(),
            category=SpendCategory(self.kind.currentData()),
            low_milli=None if low is None else round(low * 1000),
        )
        self.write(
            call,
            done=partial(self._say_added, self.name.read()),
            title=self.context.say("Adding a supply"),
        )

    def _say_added(self, name: str, supply: SupplyId) -> None:
        self._is_new = False
        self.added.emit(supply)
        self.written.emit(self.context.say("{what} is on the shelf's list.", what=name))

    def _keep(self, supply: Supply) -> None:
        low = self.low.number()
        changed = replace(
            supply,
            name=self.name.read(),
            unit=self.unit.read(),
            category=SpendCategory(self.kind.currentData()),
            low_milli=None if low is None else round(low * 1000),
        )
        self.write(
            partial(change_supply, self.context.desk, changed),
            done=partial(self._written, changed.name),
            title=self.context.say("Keeping a supply"),
        )

    def _written(self, name: str, _nothing: None) -> None:
        self.written.emit(self.context.say("{what} is kept.", what=name))


def _same(one: Supply, other: Supply) -> bool:
    parts = ("id", "name", "unit", "category", "low_milli")
    return all(getattr(one, part) == getattr(other, part) for part in parts)
