"""Opens the demo in a window of its own, beside the logbook that is open here."""

from __future__ import annotations

import sys

from PySide6.QtCore import QProcess


def demo_command() -> tuple[str, ...]:
    """Return what starts this program on the demo: the program itself, then its arguments."""
    if getattr(sys, "frozen", False):
        return sys.executable, "--demo"
    return sys.executable, "-m", "tubcare", "--demo"


def open_demo() -> bool:
    """Start the demo; return whether the system could."""
    program, *arguments = demo_command()
    started, _process = QProcess.startDetached(program, arguments)
    return bool(started)
