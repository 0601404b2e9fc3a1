"""The grid for catching up: seven days as columns; tasks, readings, dips and meters as rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont
from typing_extensions import override

from tubcare.desktop.catch_up_cells import (
    Field,
    is_closed,
    known_text,
    row_name,
    tick_help,
)
from tubcare.desktop.catch_up_typed import TypedFields
from tubcare.services.catch_up import CellKey, RowKey, SheetKind, Tick
from tubcare.words.dates import relative_day, weekday_and_day, weekday_date

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context
    from tubcare.errors import TubcareError
    from tubcare.services.catch_up_sheet import Sheet, SheetRow
    from tubcare.water.doubt import EntryDoubt
    from tubcare.words.locale import Speech

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole
_Flag = Qt.ItemFlag


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetShown:
    """A sheet together with the words to show it in."""

    sheet: Sheet
    speech: Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    heading: str = ""
    row: SheetRow | None = None


class CatchUpModel(QAbstractTableModel):
    """Shows a sheet handed to it, and keeps what is typed until it was written down."""

    typed_changed = Signal(object)
    """Carries the number (int) of fields that are filled in, whatever week is shown."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._theme = context.theme
        self._first_speech = context.speech
        self._shown: SheetShown | None = None
        self._lines: tuple[_Line, ...] = ()
        self._rows: dict[RowKey, SheetRow] = {}
        self._all = False
        self.typed = TypedFields()

    def show_sheet(self, shown: SheetShown) -> None:
        """Show a sheet in place of what was shown; what was typed stays."""
        self._shown = shown
        self._rows |= {row.key: row for row in shown.sheet.rows}
        self._lay_out()

    def show_all(self, *, every_row: bool) -> None:
        """Show also what was neither due nor done nor ever measured, or leave it out."""
        self._all = every_row
        self._lay_out()

    def entries(self) -> dict[CellKey, Tick | float]:
        """Return what is typed, as far as it is understood; the rest is among the faults."""
        found = self.typed.entries(self._speech, self._rows)
        self._tell_all()
        return found

    def show_faults(self, faults: Mapping[CellKey, TubcareError]) -> None:
        """Show in the fields what a service said about them."""
        self.typed.refuse(self._speech, faults)
        self._tell_all()

    def show_doubts(self, doubts: Mapping[CellKey, EntryDoubt]) -> None:
        """Ask in the fields about what is unlikely."""
        self.typed.ask(self._speech, self._rows, doubts)
        self._tell_all()

    def forget(self, written: Mapping[CellKey, Tick | float]) -> None:
        """Clear the fields that were written down."""
        self.typed.forget(written)
        self._lay_out()
        self.typed_changed.emit(len(self.typed.texts))

    def key_at(self, index: Index) -> CellKey | None:
        """Return the field of a cell, None for names and headings."""
        row = self.row_at(index)
        if row is None or index.column() == 0 or self._shown is None:
            return None
        return CellKey(row=row.key, on=self._shown.sheet.days[index.column() - 1])

    def row_at(self, index: Index) -> SheetRow | None:
        """Return the row of a cell, None for headings."""
        return self._lines[index.row()].row if index.isValid() else None

    def index_of(self, key: CellKey) -> QModelIndex:
        """Return the cell of a field, an invalid index when it is not shown."""
        if self._shown is None or key.on not in self._shown.sheet.days:
            return QModelIndex()
        at = (n for n, line in enumerate(self._lines) if line.row and line.row.key == key.row)
        row = next(at, -1)
        return self.index(row, self._shown.sheet.days.index(key.on) + 1) if row >= 0 else _ROOT

    def headings(self) -> tuple[int, ...]:
        """Return the rows that are headings."""
        return tuple(n for n, line in enumerate(self._lines) if line.row is None)

    def told(self, index: Index) -> str:
        """Return what there is to say about a cell: what is wrong, else what can be typed."""
        key, row = self.key_at(index), self.row_at(index)
        if key is None or row is None:
            return ""
        name, day = row_name(self._speech, row), weekday_date(self._speech, key.on)
        told = self._advice(row, key)
        return self._speech.say("{what}, {day}: {text}", what=name, day=day, text=told)

    def _advice(self, row: SheetRow, key: CellKey) -> str:
        say = self._speech.say
        if key in self.typed.faults:
            return self.typed.faults[key].text
        if is_closed(row, row.known.get(key.on)):
            return say("On record already; nothing can be typed here.")
        if row.key.kind is SheetKind.TASK:
            return say("Space or x ticks off. {help}", help=tick_help(self._speech))
        return say("Type a number; what is on record stays beside it.")

    @override
    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return the number of rows and headings."""
        return 0 if parent.isValid() else len(self._lines)

    @override
    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return the name and the days."""
        if parent.isValid() or self._shown is None:
            return 0
        return 1 + len(self._shown.sheet.days)

    @override
    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let fields be typed into; headings are not stopped at."""
        line = self._lines[index.row()] if index.isValid() else _Line()
        if line.row is None:
            return _Flag.NoItemFlags
        key = self.key_at(index)
        usable = _Flag.ItemIsEnabled | _Flag.ItemIsSelectable
        if key is None or is_closed(line.row, line.row.known.get(key.on)):
            return usable
        return usable | _Flag.ItemIsEditable

    @override
    def data(self, index: Index, role: int = _Role.DisplayRole) -> object:
        """Return a name, what is typed with its fault, or what is on record."""
        if not index.isValid():
            return None
        line, key = self._lines[index.row()], self.key_at(index)
        if line.row is None:
            return self._heading(line, index, role)
        if key is None:
            return self._name(line.row, role)
        return self._field(line.row, key, role)

    @override
    def setData(self, index: Index, value: object, role: int = _Role.EditRole) -> bool:
        """Keep what was typed, and say at once where it cannot be understood."""
        key, row = self.key_at(index), self.row_at(index)
        if key is None or row is None or role != _Role.EditRole:
            return False
        self.typed.put(self._speech, row, key, str(value or "").strip())
        self.dataChanged.emit(index, index)
        self.typed_changed.emit(len(self.typed.texts))
        return True

    @override
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole
    ) -> object:
        """Return the days."""
        if orientation is not Qt.Orientation.Horizontal or self._shown is None:
            return None
        if role != _Role.DisplayRole:
            return None
        if section == 0:
            return self._speech.say("What")
        day = self._shown.sheet.days[section - 1]
        if day != self._shown.sheet.today:
            return weekday_and_day(self._speech, day)
        told = relative_day(self._speech, day, day)
        return told[:1].upper() + told[1:]

    @property
    def _speech(self) -> Speech:
        return self._first_speech if self._shown is None else self._shown.speech

    def _lay_out(self) -> None:
        self.beginResetModel()
        self._lines = () if self._shown is None else tuple(self._made(self._shown.sheet))
        self.endResetModel()

    def _made(self, sheet: Sheet) -> list[_Line]:
        filled = {key.row for key in self.typed.texts if key.on in sheet.days}
        lines: list[_Line] = []
        tub = None
        for row in sheet.rows:
            if not (row.expected or self._all or row.key in filled):
                continue
            if sheet.tubs > 1 and row.key.tub != tub:
                tub = row.key.tub
                lines.append(_Line(heading=row.tub_name))
            lines.append(_Line(row=row))
        return lines

    def _tell_all(self) -> None:
        last = self.index(self.rowCount() - 1, self.columnCount() - 1)
        self.dataChanged.emit(self.index(0, 0), last)

    def _heading(self, line: _Line, index: Index, role: int) -> object:
        if index.column() == 0 and role in {_Role.DisplayRole, _Role.AccessibleTextRole}:
            return line.heading
        return _bold() if role == _Role.FontRole else None

    def _name(self, row: SheetRow, role: int) -> object:
        name = row_name(self._speech, row)
        if role == _Role.AccessibleTextRole and self._shown is not None:
            return f"{name}, {row.tub_name}" if self._shown.sheet.tubs > 1 else name
        return name if role in {_Role.DisplayRole, _Role.ToolTipRole} else None

    def _field(self, row: SheetRow, key: CellKey, role: int) -> object:
        field = self._told_of(row, key)
        if role == _Role.EditRole:
            return field.typed
        if role == _Role.DisplayRole:
            return field.shown()
        if role == _Role.AccessibleTextRole:
            return field.spoken(self._speech, row_name(self._speech, row), key.on)
        if role == _Role.ToolTipRole:
            return field.fault.text if field.fault is not None else None
        return self._look(field, role)

    def _told_of(self, row: SheetRow, key: CellKey) -> Field:
        known = row.known.get(key.on)
        return Field(
            typed=self.typed.texts.get(key, ""),
            fault=self.typed.faults.get(key),
            known="" if known is None else known_text(self._speech, row, known),
        )

    def _look(self, field: Field, role: int) -> object:
        if role == _Role.FontRole:
            return _bold() if field.typed and field.fault is None else None
        if role == _Role.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignCenter)
        if role == _Role.ForegroundRole:
            colour = "error" if field.fault else "text" if field.typed else "muted"
            return self._theme.shades.colour(colour)
        return None


def _bold() -> QFont:
    font = QFont()
    font.setBold(True)
    return font
