"""Builds the program out of its parts: settings, store, services, then window or terminal."""

from __future__ import annotations

import gc
import getpass
import os
import sys
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from tubcare.clock import Clock, SystemClock, ViewClock

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from tubcare.care.template_words import OwnWords
    from tubcare.cli.arguments import Arguments
    from tubcare.services.desk import Desk


def main(argv: Sequence[str] | None = None) -> int:
    """Run tubcare and return its exit code."""
    from tubcare.cli.arguments import parse  # noqa: PLC0415  keeps the window's start light

    arguments = parse(sys.argv[1:] if argv is None else list(argv))
    if arguments.logbook is None and not arguments.demo:
        arguments = replace(arguments, logbook=str(default_logbook()))
    if arguments.command is None:
        from tubcare.desktop.run import run_window  # noqa: PLC0415  Qt is loaded for it alone

        return run_window(
            partial(open_desk, arguments),
            in_background=arguments.background,
            logbook=arguments.logbook or "",
        )
    if argv is None:
        # Loading makes many objects and no garbage; looking for it takes a tenth of a command.
        gc.disable()
    from tubcare.cli.run import run_command  # noqa: PLC0415  the window does without it

    return run_command(arguments, open_desk)


def open_desk(arguments: Arguments, own_words: OwnWords, chosen: str = "") -> Desk:
    """Open the logbook that the arguments name, for the person that they name.

    Where they name nobody, for the one `chosen` on this computer, else for who is signed in.
    Plans are drawn in `own_words`.

    Raises
    ------
    StoreError, InputError
        When it cannot be opened.
    """
    from tubcare.services.desk import Desk  # noqa: PLC0415  SQLAlchemy is loaded after the paint
    from tubcare.store.open import open_store  # noqa: PLC0415

    clock: Clock = SystemClock() if arguments.today is None else ViewClock(arguments.today)
    named, person = arguments.logbook or "", arguments.person or chosen or login_name()
    if arguments.demo:
        from tubcare.services.demo import demo_logbook  # noqa: PLC0415
        from tubcare.services.demo_club import PEOPLE  # noqa: PLC0415

        named, person = str(demo_logbook(clock, own_words)), arguments.person or PEOPLE[0]
    return Desk(open_store(named, clock.now()), clock, person, own_words)


def default_logbook() -> Path:
    """Return where the logbook lies when nobody says otherwise; makes the folder."""
    from platformdirs import user_data_path  # noqa: PLC0415

    return user_data_path("tubcare", appauthor=False, ensure_exists=True) / "logbook.db"


def login_name() -> str:
    """Return the name of whoever uses this computer."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return os.environ.get("USERNAME", "me")
