"""Words for tests: short, and with what a careless desktop would take for markup."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.reminders.notes import Note
    from tubcare.reminders.notifiers import Press


class PlainWords:
    """Says what a note is about."""

    def title(self, note: Note) -> str:
        return f"{len(note.items)} to do"

    def body(self, note: Note) -> str:
        return "\n".join(item.title for item in note.items)

    def button(self, press: Press) -> str:
        return press.name.capitalize()
