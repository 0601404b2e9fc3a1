"""Reminders in a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.why import STATUS

if TYPE_CHECKING:
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk


def run_reminders(desk: Desk, output: Output, *, stay: bool) -> None:
    """Show what is due as reminders."""
    _ = (desk, output, stay, STATUS)
