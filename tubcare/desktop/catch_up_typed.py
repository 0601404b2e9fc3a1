"""What is typed and not written down yet, with what is wrong in it; weeks may come and go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.catch_up_cells import CellFault, doubt_of, fault_of, read_cell
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.errors import TubcareError
    from tubcare.services.catch_up import CellKey, RowKey, Tick
    from tubcare.services.catch_up_sheet import SheetRow
    from tubcare.water.doubt import EntryDoubt
    from tubcare.words.locale import Speech


class TypedFields:
    """Keeps the texts of fields and their faults; nothing typed is ever thrown away by it."""

    def __init__(self) -> None:
        self.texts: dict[CellKey, str] = {}
        self.faults: dict[CellKey, CellFault] = {}
        self._asked: dict[CellKey, str] = {}

    def put(self, speech: Speech, row: SheetRow, key: CellKey, text: str) -> None:
        """Keep a text, and what cannot be understood in it; an empty one clears the field."""
        self.faults.pop(key, None)
        if not text:
            self.texts.pop(key, None)
            return
        self.texts[key] = text
        try:
            read_cell(speech, row, text)
        except InputError as error:
            self.faults[key] = fault_of(speech, error)

    def entries(
        self, speech: Speech, rows: Mapping[RowKey, SheetRow]
    ) -> dict[CellKey, Tick | float]:
        """Return what the fields say; those that are not understood are among the faults."""
        found = {}
        self.faults.clear()
        for key, text in self.texts.items():
            try:
                found[key] = read_cell(speech, rows[key.row], text)
            except InputError as error:
                self.faults[key] = fault_of(speech, error)
        return found

    def sure(self) -> frozenset[CellKey]:
        """Return the fields that were asked about, and still say the same."""
        return frozenset(key for key, text in self._asked.items() if self.texts.get(key) == text)

    def ask(
        self,
        speech: Speech,
        rows: Mapping[RowKey, SheetRow],
        doubts: Mapping[CellKey, EntryDoubt],
    ) -> None:
        """Keep what is asked about fields; each text is asked about once."""
        for key, doubt in doubts.items():
            asked = doubt_of(speech, rows[key.row], doubt)
            if asked is not None:
                self._asked[key] = self.texts.get(key, "")
                self.faults[key] = asked

    def refuse(self, speech: Speech, faults: Mapping[CellKey, TubcareError]) -> None:
        """Keep what a service said about fields."""
        for key, error in faults.items():
            self.faults[key] = fault_of(speech, error)

    def forget(self, written: Mapping[CellKey, Tick | float]) -> None:
        """Clear the fields that were written down."""
        for key in written:
            self.texts.pop(key, None)
            self.faults.pop(key, None)
