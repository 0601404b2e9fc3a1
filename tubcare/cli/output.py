"""Tables and JSON on a terminal."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech

Json = dict[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """Where a command writes, and in which language and form."""

    speech: Speech
    as_json: bool
    stream: TextIO = field(default_factory=lambda: sys.stdout)

    def line(self, text: str = "") -> None:
        """Write one line for a person; nothing when JSON is wanted."""
        if not self.as_json:
            self.stream.write(f"{text}\n")

    def data(self, document: Json) -> None:
        """Write the document as JSON; nothing when a person reads."""
        if self.as_json:
            self.stream.write(json.dumps(document, ensure_ascii=False, indent=2) + "\n")

    def table(self, rows: Sequence[Sequence[str]], *, right: frozenset[int] = frozenset()) -> None:
        """Write rows in columns as wide as they need; columns in `right` end at the right."""
        if not rows or self.as_json:
            return
        widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
        for row in rows:
            cells = [
                cell.rjust(width) if i in right else cell.ljust(width)
                for i, (cell, width) in enumerate(zip(row, widths, strict=True))
            ]
            self.stream.write(("  ".join(cells)).rstrip() + "\n")
