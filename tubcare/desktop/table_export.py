"""The action of a page that writes what it shows as a table for other programs."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QFileDialog

from tubcare.exchange.files import write_table

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.tub_part import Part


class TableExport(QObject):
    """Asks where to, writes the table in the logbook's thread, and says so.

    Parameters
    ----------
    page
        Whose action it is.
    text
        Of the action.
    name
        Of the file that is offered, without its ending.
    table
        Returns the call that makes the table, which runs beside the window; None while there is
        nothing to write.
    """

    def __init__(
        self, page: Part, text: str, *, name: str, table: Callable[[], Callable[[], str] | None]
    ) -> None:
        super().__init__(page)
        self._page = page
        self._name = name
        self._table = table
        self.action = page.add_page_action(text, self.choose, icon="export", keys="Ctrl+E")

    @Slot()
    def choose(self) -> None:
        """Ask for the file, and write it."""
        title = self.action.text().removesuffix("\N{HORIZONTAL ELLIPSIS}")
        chosen, _kind = QFileDialog.getSaveFileName(
            self._page, title, f"tubcare {self._name}.csv", "CSV (*.csv)"
        )
        if chosen:
            self.write_to(Path(chosen))

    def write_to(self, path: Path) -> None:
        """Write the table to a file, and say so."""
        table = self._table()
        if table is not None:
            self._page.context.work.on_logbook(
                partial(_write, path, table), done=self._say_written, title=self.action.text()
            )

    def _say_written(self, path: Path) -> None:
        context = self._page.context
        context.strip.say(context.say("Written: {file}", file=str(path)))


def _write(path: Path, table: Callable[[], str]) -> Path:
    return write_table(path, table())
