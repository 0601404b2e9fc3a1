"""What can be said on the command line."""

from __future__ import annotations

import argparse
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NoReturn

from typing_extensions import override

from tubcare.cli.energy_arguments import add_frost, add_power
from tubcare.cli.figures import day, finite, months, today
from tubcare.cli.tub_arguments import add_profile
from tubcare.cli.water_arguments import add_water

if TYPE_CHECKING:
    from datetime import date

EPILOG = """\
exit codes: 0 done · 2 the command line cannot be understood · 3 a rule of the logbook stands
against it · 4 a value cannot be used · 5 the logbook cannot be read or written
The fields of --json are stable; “tubcare fields” lists them.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arguments:
    """The command line, read: global choices, the command (None opens the window), its values."""

    command: str | None
    logbook: str | None = None
    today: date | None = None
    person: str | None = None
    demo: bool = False
    json: bool = False
    background: bool = False
    values: argparse.Namespace = field(default_factory=argparse.Namespace)


class _Parser(argparse.ArgumentParser):
    def __init__(self, *args: Any, **choices: Any) -> None:  # noqa: ANN401  argparse's own
        super().__init__(*args, **choices)
        # Below zero a number may have a decimal comma too: it is no option.
        self._negative_number_matcher = re.compile(r"-[0-9]*[.,]?[0-9]+$")

    @override
    def error(self, message: str) -> NoReturn:
        self.print_usage()
        self.exit(2, f"{self.prog}: {message}\n")


class _OddChoiceError(Exception):
    """A choice cannot be understood; the whole parser says so."""


class _Choices(argparse.ArgumentParser):
    @override
    def error(self, message: str) -> NoReturn:
        raise _OddChoiceError(message)


def parse(argv: list[str]) -> Arguments:
    """Read the command line; a mistake in it ends the program with code 2."""
    found = _without_command(argv) or _parser().parse_args(argv)
    return Arguments(
        command=getattr(found, "command", None),
        logbook=found.logbook,
        today=found.today,
        person=found.person,
        demo=found.demo,
        json=getattr(found, "json", False),
        background=found.background,
        values=found,
    )


def _without_command(argv: list[str]) -> argparse.Namespace | None:
    """Return the choices where nothing else was said, None where all has to be read.

    The window waits for this: putting all commands together takes a twentieth of its start.
    """
    parser = _Choices(add_help=False)
    _add_choices(parser)
    try:
        found, left = parser.parse_known_args(argv)
    except _OddChoiceError:
        return None
    return None if left else found


def _add_choices(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--logbook", metavar="FILE|ADDRESS", help="the logbook to use")
    parser.add_argument("--today", type=today, metavar="DATE", help="look as on that day")
    parser.add_argument("--as", dest="person", metavar="NAME", help="who is working")
    parser.add_argument("--demo", action="store_true", help="open a throw-away demo logbook")
    parser.add_argument("--background", action="store_true", help="start without showing a window")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="tubcare",
        description="Upkeep of outdoor chilled tubs: what is due, what was done, what it cost. "
        "Without a command the window opens.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    _add_choices(parser)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    _looking(commands)
    _doing(commands)
    _measuring(commands)
    _money(commands)
    _keeping(commands)
    add_power(_command(commands, "power", "Show what the cold costs, and what would lower it."))
    add_frost(_command(commands, "frost", "Show the frost dates, and what freezes first."))
    return parser


def _command(
    commands: argparse._SubParsersAction[_Parser], name: str, about: str
) -> argparse.ArgumentParser:
    parser = commands.add_parser(name, help=about, description=about)
    parser.add_argument("--json", action="store_true", help="write JSON with stable fields")
    return parser


def _looking(commands: argparse._SubParsersAction[_Parser]) -> None:
    _command(commands, "week", "Show what is due this week.")
    tasks = _command(commands, "tasks", "Show the care plan.")
    tasks.add_argument("task", nargs="?", help="show one task whole: its steps and cautions")
    tasks.add_argument(
        "--coming", type=months, metavar="MONTHS", help="show the dates ahead instead"
    )


def _doing(commands: argparse._SubParsersAction[_Parser]) -> None:
    done = _command(commands, "done", "Tick off a task.")
    done.add_argument("task", help="number or the beginning of the title")
    done.add_argument("--on", type=day, metavar="DATE", help="the day it was done")
    done.add_argument("--minutes", type=int)
    done.add_argument("--cost", metavar="AMOUNT", help="money paid, instead of the usual cost")
    done.add_argument(
        "--use",
        action="append",
        metavar="SUPPLY=AMOUNT",
        help="used up, instead of the usual supplies; several times, or none= for nothing",
    )
    done.add_argument("--result", choices=("good", "doubtful", "bad"), help="of an inspection")
    done.add_argument("--note", default="")
    done.add_argument(
        "--restart", choices=("yes", "no"), help="for early work: whether the clock starts anew"
    )
    skip = _command(commands, "skip", "Drop one occurrence of a task.")
    skip.add_argument("task")
    skip.add_argument("--reason", required=True)
    put_off = _command(commands, "put-off", "Move one occurrence of a task to a later day.")
    put_off.add_argument("task")
    put_off.add_argument("to", type=day, metavar="DATE")
    put_off.add_argument("--reason", default="")
    _command(commands, "undo", "Take back what you did last.")
    _command(commands, "redo", "Do again what was taken back last.")


def _measuring(commands: argparse._SubParsersAction[_Parser]) -> None:
    dip = _command(commands, "dip", "Write down a dip, or several.")
    dip.add_argument("count", nargs="?", type=int, default=1)
    dip.add_argument("--who")
    dip.add_argument("--minutes", type=finite)
    dip.add_argument("--water-c", type=finite)
    reading = _command(commands, "reading", "Write down measured values.")
    reading.add_argument("values", nargs="+", metavar="QUANTITY=VALUE", help="such as ph=7.4")
    reading.add_argument("--note", default="")
    meter = _command(commands, "meter", "Write down what a meter or hour counter shows.")
    meter.add_argument("counter", choices=("kwh", "pump_h", "chiller_h"))
    meter.add_argument("value", type=str)
    meter.add_argument("--new-meter", action="store_true", help="first value of an exchanged one")
    meter.add_argument(
        "--rolled-over", metavar="AT", help="it ran past its last digit: 100000 for five digits"
    )
    water = _command(commands, "water", "Show how the water stands, and what to do about it.")
    add_water(water, day)
    fill = _command(commands, "fill", "Write down fresh water.")
    fill.add_argument("litres", type=finite)
    fill.add_argument("--kind", choices=("change", "top_up"), default="change")
    fill.add_argument("--sure", action="store_true", help="keep more than the tub holds")
    about = "Show what was written down about a tub lately, or delete one of it."
    records = _command(commands, "records", about)
    records.add_argument("--tub")
    records.add_argument("--most", type=int, default=30, metavar="N", help="of each kind")
    records.add_argument("--delete", metavar="RECORD", help="by its mark, such as dose:12")
    for parser in (dip, reading, meter, fill):
        parser.add_argument("--tub")
        parser.add_argument("--on", type=day, metavar="DATE")


def _money(commands: argparse._SubParsersAction[_Parser]) -> None:
    buy = _command(commands, "buy", "Write down a purchase.")
    buy.add_argument("amount", help="what was paid, such as 12.50")
    buy.add_argument("what", help="what it was")
    buy.add_argument("--quantity", metavar="NUMBER", help="for the shelf: how much")
    buy.add_argument("--unit", default="piece")
    buy.add_argument("--category", default="other")
    buy.add_argument("--from", dest="payee", default="")
    buy.add_argument("--task", help="the task it belongs to")
    buy.add_argument("--tub", metavar="NAME", help="the tub it belongs to")
    buy.add_argument("--on", type=day, metavar="DATE")
    buy.add_argument(
        "--keeps-until", type=day, metavar="DATE", help="for the shelf: the last day of use"
    )
    spend = _command(commands, "spend", "Show what left the wallet.")
    spend.add_argument("--since", type=day, metavar="DATE")
    spend.add_argument("--until", type=day, metavar="DATE")
    year = _command(commands, "year", "Show the year review.")
    year.add_argument("year", nargs="?", type=int)
    year.add_argument("--season", action="store_true", help="the season that opened in that year")
    year.add_argument("--view", choices=("paid", "used"), default="used")
    year.add_argument("--tub", metavar="NAME", help="that tub alone, without what belongs to none")
    year.add_argument("--csv", metavar="FILE", help="write the tables to a file instead")


def _keeping(commands: argparse._SubParsersAction[_Parser]) -> None:
    tub = _command(commands, "tub", "Show, add, open or close a tub.")
    states = ("open", "close", "pause", "rest", "resume")
    tub.add_argument(
        "action", nargs="?", choices=("add", *states), help="rest: open, with the chiller off"
    )
    tub.add_argument("name", nargs="?")
    tub.add_argument("--currency", help="of a new logbook, such as EUR")
    tub.add_argument("--on", type=day, metavar="DATE")
    add_profile(tub)
    backup = _command(commands, "backup", "Take a backup now, or list the backups.")
    backup.add_argument("--list", action="store_true")
    restore = _command(commands, "restore", "Bring back a backup, keeping what was there.")
    restore.add_argument("backup", nargs="?", help="the file; the newest when none is named")
    remind = _command(commands, "remind", "Show the reminders that are due, without a window.")
    remind.add_argument("--stay", action="store_true", help="keep running and remind in time")
    about = "List the stable fields of --json."
    commands.add_parser("fields", help=about, description=about)
