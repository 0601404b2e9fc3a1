"""A list of supplies with amounts: usual ones of a task, or those used by one piece of work."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QLabel,
    QPushButton,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.row_box import RowBox
from tubcare.errors import InputError
from tubcare.values import SupplyId

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.desktop.screen import Context
    from tubcare.services.work_kit import SupplyChoice

THOUSAND = 1000
LEAST_LETTERS = 12
_BY_LETTERS = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
AMOUNT_LETTERS = 9


class SupplyRow(QWidget):
    """One supply and how much of it."""

    changed = Signal(object)
    """Carries nothing (None)."""
    removed = Signal(object)
    """Carries this row."""

    def __init__(self, context: Context, choices: Sequence[SupplyChoice]) -> None:
        super().__init__()
        say = context.say
        self._choices = {each.id: each for each in choices}
        self.supply = QComboBox()
        self.supply.setAccessibleName(say("Supply"))
        for each in choices:
            self.supply.addItem(each.name, each.id)
        self.amount = NumberEntry("quantity_milli", context.voice, required=True, decimals=3)
        self.amount.setAccessibleName(say("How much"))
        self.amount.setFixedWidth(AMOUNT_LETTERS * self.fontMetrics().averageCharWidth() + 20)
        self._unit = QLabel()
        self.remove_button = QPushButton(say("Remove"))
        self.remove_button.setAccessibleName(say("Remove this supply"))
        self._lay_out()
        self.supply.currentIndexChanged.connect(self._follow)
        self.amount.textChanged.connect(self._tell)
        self.remove_button.clicked.connect(self._remove)
        self._follow()

    def _lay_out(self) -> None:
        # Names of supplies are long, panes are narrow.
        self.supply.setSizeAdjustPolicy(_BY_LETTERS)
        self.supply.setMinimumContentsLength(LEAST_LETTERS)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 6)
        grid.setColumnStretch(2, 1)
        grid.addWidget(self.supply, 0, 0, 1, 4)
        grid.addWidget(self.amount, 1, 0)
        grid.addWidget(self._unit, 1, 1)
        grid.addWidget(self.remove_button, 1, 3)

    @property
    def stops(self) -> tuple[QWidget, ...]:
        """Return where the keyboard stops, in order."""
        return (self.supply, self.amount, self.remove_button)

    def fill(self, supply: SupplyId, quantity_milli: int) -> None:
        """Show a supply with an amount in thousandths of its unit."""
        self.supply.setCurrentIndex(max(0, self.supply.findData(supply)))
        self.amount.fill(Decimal(quantity_milli) / THOUSAND)

    def read(self) -> tuple[SupplyId, int]:
        """Return the supply and thousandths of its unit; raises `InputError`."""
        number = self.amount.number()
        quantity = 0 if number is None else round(number * THOUSAND)
        if quantity <= 0:
            raise InputError(
                "quantity_milli", self.amount.voice.speech.say("write an amount above zero")
            )
        return SupplyId(self.supply.currentData()), quantity

    @Slot()
    def _follow(self) -> None:
        chosen = self._choices.get(SupplyId(self.supply.currentData() or 0))
        self._unit.setText("" if chosen is None else chosen.unit)
        self._tell()

    @Slot()
    def _tell(self) -> None:
        self.changed.emit(None)

    @Slot()
    def _remove(self) -> None:
        self.removed.emit(self)


class SuppliesEditor(RowBox):
    """Rows of supplies, with a button that adds one; empty means that nothing is used up."""

    changed = Signal(object)
    """Carries nothing (None)."""

    def __init__(self, context: Context, choices: Sequence[SupplyChoice]) -> None:
        super().__init__(context.say("Add a supply"))
        self._context = context
        self._choices = tuple(choices)
        self.rows: list[SupplyRow] = []
        self.add_button.setEnabled(bool(choices))
        self.add_button.clicked.connect(self._add_empty)

    @override
    def setFocus(self, *_reason: object) -> None:
        """Give the keyboard to the first amount, or to the button that adds one."""
        # Not a focus proxy: with one, Tab passes by the rows.
        first = self.rows[0].amount if self.rows else self.add_button
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def fill(self, uses: Mapping[SupplyId, int]) -> None:
        """Show supplies with thousandths of their units."""
        for row in tuple(self.rows):
            self._take(row)
        for supply, quantity in uses.items():
            self._add().fill(supply, quantity)

    def read(self) -> dict[SupplyId, int]:
        """Return thousandths of its unit for each supply.

        Raises
        ------
        InputError
            For an amount that cannot be used, or a supply that is named twice.
        """
        found: dict[SupplyId, int] = {}
        for row in self.rows:
            supply, quantity = row.read()
            if supply in found:
                raise InputError(
                    "quantity_milli", self._context.say("each supply is named once only")
                )
            found[supply] = quantity
        return found

    @Slot()
    def _add_empty(self) -> None:
        row = self._add()
        row.supply.setFocus()
        self.changed.emit(None)

    def _add(self) -> SupplyRow:
        row = SupplyRow(self._context, self._choices)
        self.rows.append(row)
        self.put_row(row)
        row.changed.connect(self.changed)
        row.removed.connect(self._remove)
        self.order(stop for each in self.rows for stop in each.stops)
        return row

    @Slot(object)
    def _remove(self, row: SupplyRow) -> None:
        self._take(row)
        self.add_button.setFocus()
        self.changed.emit(None)

    def _take(self, row: SupplyRow) -> None:
        self.rows.remove(row)
        self.take_row(row)
