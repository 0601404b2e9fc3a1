"""Runs one command and turns what goes wrong into a sentence and an exit code."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from tubcare.cli import keeping, looking, measuring, money, water, working
from tubcare.cli.output import Output
from tubcare.errors import RuleError, StoreError, TubcareError
from tubcare.services.desk import setting
from tubcare.services.household import CURRENCY
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.cli.arguments import Arguments
    from tubcare.services.desk import Desk

DONE, RULE, VALUE, STORE = 0, 3, 4, 5


def _frost(desk: Desk, arguments: Arguments, output: Output) -> None:
    from tubcare.cli.frost import run_frost  # noqa: PLC0415  brings numpy, which others need not

    run_frost(desk, arguments, output)


_COMMANDS: dict[str, Callable[[Desk, Arguments, Output], None]] = {
    "week": looking.week,
    "tasks": looking.tasks,
    "done": working.done,
    "skip": working.skip_one,
    "put-off": working.put_off_one,
    "undo": working.undo_last,
    "redo": working.redo_last,
    "dip": measuring.dip,
    "reading": measuring.reading,
    "meter": measuring.meter,
    "fill": measuring.fill,
    "water": water.water,
    "buy": money.buy,
    "spend": money.spend,
    "year": money.year,
    "tub": keeping.tub,
    "backup": keeping.backup_now,
    "remind": keeping.remind,
    "frost": _frost,
}


def run_command(arguments: Arguments, open_desk: Callable[[Arguments], Desk]) -> int:
    """Run one command and return its exit code."""
    command = arguments.command or ""
    try:
        if command == "restore":
            return keeping.restore_closed(arguments)
        desk = open_desk(arguments)
        try:
            with desk.read() as connection:
                code = setting(connection, CURRENCY) or "EUR"
            output = Output(
                speech=speech_for(os.environ, currency_code=code), as_json=arguments.json
            )
            _COMMANDS[command](desk, arguments, output)
        finally:
            desk.store.close()
    except BrokenPipeError:
        # The reader of a pipe has seen enough; say nothing more, also not at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except TubcareError as error:
        sys.stderr.write(f"tubcare: {error}\n")
        return _code(error)
    return DONE


def _code(error: TubcareError) -> int:
    if isinstance(error, StoreError):
        return STORE
    return RULE if isinstance(error, RuleError) else VALUE
