"""Runs one command and turns what goes wrong into a sentence and an exit code."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, TypeAlias
from zoneinfo import ZoneInfo

from tubcare.cli.output import Output
from tubcare.errors import RuleError, StoreError, TubcareError
from tubcare.resource_files import read_text
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.household import CURRENCY
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.care.template_words import OwnWords
    from tubcare.cli.arguments import Arguments
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech

DONE, RULE, VALUE, STORE = 0, 3, 4, 5
#: The page that documents what --json writes.
FIELDS = "help/json.txt"
_Command: TypeAlias = "Callable[[Desk, Arguments, Output], None]"
#: The module below `tubcare.cli` and the function in it. Only the one that is asked for is
#: loaded: all of them together take longer than most commands.
_COMMANDS = {
    "week": ("weekly", "week"),
    "tasks": ("looking", "tasks"),
    "done": ("working", "done"),
    "skip": ("working", "skip_one"),
    "put-off": ("working", "put_off_one"),
    "undo": ("working", "undo_last"),
    "redo": ("working", "redo_last"),
    "dip": ("measuring", "dip"),
    "reading": ("measuring", "reading"),
    "meter": ("measuring", "meter"),
    "fill": ("measuring", "fill"),
    "records": ("recorded", "records"),
    "water": ("water", "water"),
    "buy": ("money", "buy"),
    "spend": ("money", "spend"),
    "year": ("money", "year"),
    "tub": ("keeping", "tub"),
    "backup": ("keeping", "backup_now"),
    "remind": ("keeping", "remind"),
    "frost": ("frost", "run_frost"),
    "power": ("power", "run_power"),
}


def run_command(arguments: Arguments, open_desk: Callable[[Arguments, OwnWords], Desk]) -> int:
    """Run one command and return its exit code."""
    speech, zone = speech_for(os.environ), None
    try:
        if arguments.command == "restore":
            from tubcare.cli import keeping  # noqa: PLC0415  as for the others

            keeping.restore_closed(arguments, Output(speech=speech, as_json=arguments.json))
            return DONE
        if arguments.command == "fields":
            sys.stdout.write(read_text(FIELDS))
            return DONE
        desk = open_desk(arguments, speech.own)
        do = _doer(arguments.command or "")
        if not gc.isenabled():
            # What was loaded stays until the end: it is not looked at again, at exit neither.
            gc.freeze()
            gc.enable()
        try:
            with desk.read() as connection:
                code = setting(connection, CURRENCY) or "EUR"
                zone = ZoneInfo(setting(connection, HOME_ZONE) or "UTC")
            speech = speech_for(os.environ, currency_code=code)
            output = Output(speech=speech, as_json=arguments.json)
            if arguments.today is None:
                do(desk, arguments, output)
            else:
                from tubcare.cli.viewing import ViewDesk, say_day  # noqa: PLC0415  seldom needed

                viewed = ViewDesk(desk, arguments.today, zone)
                do(viewed, arguments, output)
                if getattr(arguments.values, "on", None) is None:
                    say_day(viewed, output, zone)
        finally:
            desk.store.close()
    except BrokenPipeError:
        # The reader of a pipe has seen enough; say nothing more, also not at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except TubcareError as error:
        _tell(speech, error, zone)
        return _code(error)
    return DONE


def _tell(speech: Speech, error: TubcareError, zone: ZoneInfo | None) -> None:
    """Say what stands against it, what was kept and the way out, in the person's language."""
    # Loaded for this alone: most commands need none of it.
    from tubcare.words.sentences.errors import trouble  # noqa: PLC0415  see above

    told = trouble(speech, error, zone)
    sys.stderr.write("tubcare: " + "\n".join(told.lines) + "\n")
    if told.detail:
        sys.stderr.write(f"({told.detail})\n")


def _doer(command: str) -> _Command:
    module, name = _COMMANDS[command]
    found: _Command = getattr(import_module(f"tubcare.cli.{module}"), name)
    return found


def _code(error: TubcareError) -> int:
    if isinstance(error, StoreError):
        return STORE
    return RULE if isinstance(error, RuleError) else VALUE
