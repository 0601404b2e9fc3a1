"""What the two scripts do: `start` runs the program, `check` runs its tests."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from environment import (
    FOLDER_VARIABLE,
    EnvironmentFailedError,
    cache_folder,
    ready_python,
    recipe_for,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

CHECKOUT: Final = Path(__file__).resolve().parent.parent
FAILED: Final = 1
INTERRUPTED: Final = 130
CHECK_GROUPS: Final = ("postgresql", "test", "lint")
# The program's options before a command that take a value of their own.
OPTIONS_WITH_VALUE: Final = ("--logbook", "--today", "--as")

_START_HELP: Final = f"""\
usage: python3 packaging/start.py [arguments]

Starts tubcare from this checkout. The first start makes an environment of its own with the
versions pinned in packaging/constraints.txt, in a cache folder:
  {{folder}}
Nothing is written anywhere else on the system, and the folder may be deleted at any time: the
next start makes it again. {FOLDER_VARIABLE} names another folder. Where there is no display,
this week's list is printed in the terminal.

All arguments go to tubcare: start.py week, start.py --demo, start.py --logbook FILE.
"""
_CHECK_HELP: Final = f"""\
usage: python3 packaging/check.py [pytest arguments]
       python3 packaging/check.py --tool NAME [arguments]

Runs every test of this checkout, without a screen, in an environment of its own with the
versions pinned in packaging/constraints.txt and packaging/test-data.txt, in a cache folder:
  {{folder}}
The folder may be deleted at any time; {FOLDER_VARIABLE} names another one. Paths are taken from
the top of the checkout. The exit code is pytest's.

--tool runs another command of that environment instead: check.py --tool ruff check
"""


def start(arguments: Sequence[str]) -> int:
    """Run tubcare with these arguments; without a display, this week's list in the terminal."""
    return _run(_start_command, arguments, _START_HELP)


def check(arguments: Sequence[str]) -> int:
    """Run the tests, or another command of the test environment; return its exit code."""
    return _run(_check_command, arguments, _CHECK_HELP)


def opens_window(arguments: Sequence[str]) -> bool:
    """Tell whether tubcare would open its window: no command, and no question about itself."""
    rest = iter(arguments)
    for argument in rest:
        if argument in {"-h", "--help", "--version"} or not argument.startswith("-"):
            return False
        if argument in OPTIONS_WITH_VALUE:
            next(rest, None)
    return True


def _start_command(arguments: list[str]) -> list[str]:
    if opens_window(arguments):
        # Loading libraries takes a moment that a command in the terminal need not pay.
        from screen import display_problem  # noqa: PLC0415

        if problem := display_problem(os.environ):
            print(f"{problem} This week's list in the terminal instead:", flush=True)
            arguments.append("week")
        else:
            _require_libraries("Without a window, in the terminal: start.py week")
    python = ready_python(recipe_for(CHECKOUT, "start", ()))
    # -P: a folder named tubcare where the person happens to stand is not what they mean.
    return [str(python), "-P", "-m", "tubcare", *arguments]


def _check_command(arguments: list[str]) -> list[str]:
    os.chdir(CHECKOUT)
    if arguments[:1] == ["--tool"] and len(arguments) > 1:
        commands = ready_python(recipe_for(CHECKOUT, "check", CHECK_GROUPS)).parent
        return [str(commands / arguments[1]), *arguments[2:]]
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    _require_libraries("The tests open windows, though not on the screen.")
    python = ready_python(recipe_for(CHECKOUT, "check", CHECK_GROUPS))
    # On all cores; "-n 0" among the arguments runs them in one process, for a debugger.
    return [str(python), "-P", "-m", "pytest", "-n", "auto", *arguments]


def _require_libraries(remark: str) -> None:
    from screen import how_to_install, missing_libraries  # noqa: PLC0415

    if missing := missing_libraries(os.environ):
        raise EnvironmentFailedError(f"{how_to_install(missing)}\n{remark}")


def _run(
    command_for: Callable[[list[str]], list[str]], arguments: Sequence[str], help_text: str
) -> int:
    if list(arguments) == ["--help"]:
        print(help_text.format(folder=cache_folder()), end="", flush=True)
        return 0
    try:
        return _become(command_for(list(arguments)))
    except (EnvironmentFailedError, OSError) as error:
        print(error, file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("\nStopped; the next start makes the environment again.", file=sys.stderr)
        return INTERRUPTED


def _become(command: list[str]) -> int:
    environ = {**os.environ, "PYTHONPATH": str(CHECKOUT)}
    environ.pop("PYTHONHOME", None)
    sys.stdout.flush()
    if os.name == "posix":
        os.execve(command[0], command, environ)  # noqa: S606 - no shell is wanted in between
    # Elsewhere, exec would hand the terminal back before the program has ended.
    return subprocess.run(command, check=False, env=environ).returncode
