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
    from collections.abc import Sequence

CHECKOUT: Final = Path(__file__).resolve().parent.parent
FAILED: Final = 1
INTERRUPTED: Final = 130
CHECK_GROUPS: Final = ("postgresql", "test", "lint")
# The program's options before a command that take a value of their own.
OPTIONS_WITH_VALUE: Final = ("--logbook", "--today")

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
       python3 packaging/check.py --tool MODULE [arguments]

Runs every test of this checkout, without a screen, in an environment of its own with the
versions pinned in packaging/constraints.txt and packaging/test-data.txt, in a cache folder:
  {{folder}}
The folder may be deleted at any time; {FOLDER_VARIABLE} names another one. Paths are taken from
the top of the checkout. The exit code is pytest's.

--tool runs another module of that environment instead: check.py --tool ruff check
"""


def start(arguments: Sequence[str]) -> int:
    """Run tubcare with these arguments; without a display, this week's list in the terminal."""
    arguments = list(arguments)
    if arguments == ["--help"]:
        print(_START_HELP.format(folder=cache_folder()), end="", flush=True)
        return 0
    if opens_window(arguments):
        # Reading libraries takes a moment that a command in the terminal need not pay.
        from screen import display_problem, how_to_install, missing_libraries  # noqa: PLC0415

        if problem := display_problem(os.environ):
            print(f"{problem} This week's list in the terminal instead:", flush=True)
            arguments.append("week")
        elif missing := missing_libraries(os.environ):
            print(how_to_install(missing), file=sys.stderr)
            print("Without a window, in the terminal: start.py week", file=sys.stderr)
            return FAILED
    return _run("start", (), ["tubcare", *arguments], {})


def check(arguments: Sequence[str]) -> int:
    """Run the tests, or another tool of the test environment; return its exit code."""
    arguments = list(arguments)
    if arguments == ["--help"]:
        print(_CHECK_HELP.format(folder=cache_folder()), end="", flush=True)
        return 0
    os.chdir(CHECKOUT)
    if arguments[:1] == ["--tool"]:
        return _run("check", CHECK_GROUPS, arguments[1:], {})
    from screen import how_to_install, missing_libraries  # noqa: PLC0415

    offscreen = {"QT_QPA_PLATFORM": "offscreen"}
    if missing := missing_libraries({**os.environ, **offscreen}):
        print(how_to_install(missing), file=sys.stderr)
        return FAILED
    return _run("check", CHECK_GROUPS, ["pytest", *arguments], offscreen)


def opens_window(arguments: Sequence[str]) -> bool:
    """Tell whether tubcare would open its window: no command, and no question about itself."""
    rest = iter(arguments)
    for argument in rest:
        if argument in {"-h", "--help", "--version"} or not argument.startswith("-"):
            return False
        if argument in OPTIONS_WITH_VALUE:
            next(rest, None)
    return True


def _run(kind: str, groups: tuple[str, ...], module: Sequence[str], extra: dict[str, str]) -> int:
    try:
        python = ready_python(recipe_for(CHECKOUT, kind, groups))
    except (EnvironmentFailedError, OSError) as error:
        print(error, file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("\nStopped; the next start makes the environment again.", file=sys.stderr)
        return INTERRUPTED
    environ = {**os.environ, **extra, "PYTHONPATH": str(CHECKOUT)}
    environ.pop("PYTHONHOME", None)
    # -P: a folder named tubcare where the person happens to stand is not what they mean.
    command = [str(python), "-P", "-m", *module]
    sys.stdout.flush()
    if os.name == "posix":
        os.execve(command[0], command, environ)  # noqa: S606 - no shell is wanted in between
    # Elsewhere, exec would hand the terminal back before the program has ended.
    return subprocess.run(command, check=False, env=environ).returncode
