"""What can be said on the command line about frost and power."""

from __future__ import annotations

import argparse

NUMBER = "NUMBER"
WHICH_TUB = "which tub, where there are several"
AS_JSON = "write JSON with stable fields"


def add_frost(parser: argparse.ArgumentParser) -> None:
    """Add what `tubcare frost` understands."""
    _tub(parser)
    parser.add_argument(
        "--air-c", type=float, metavar=NUMBER, help="air temperature of the night, in °C"
    )
    parser.add_argument("--csv", metavar="FILE", help="write the winters on record to a file")
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    taken = _action(actions, "import", "Take over daily minima from a CSV file, or look at it.")
    taken.add_argument("file")
    add_answers(taken)
    chosen = _action(actions, "choose", "Choose risks, level, site offset and lead days.")
    chosen.add_argument("--risk", type=int, metavar="PERCENT", help="of “watch from”")
    chosen.add_argument("--dry-risk", type=int, metavar="PERCENT", help="of “dry by”")
    chosen.add_argument("--dry-level-c", type=float, metavar=NUMBER, help="-4 unless said else")
    chosen.add_argument("--offset-c", type=float, metavar=NUMBER, help="tub against station")
    chosen.add_argument("--lead-days", type=int, metavar="DAYS", help="days to do the job in")
    chosen.add_argument(
        "--at-level", choices=("counts", "does-not"), help="a night exactly at the level"
    )
    dates = _action(actions, "dates", "Write down two dates that you know.")
    dates.add_argument("watch_from", metavar="MM-DD")
    dates.add_argument("dry_by", metavar="MM-DD")


def add_answers(parser: argparse.ArgumentParser) -> None:
    """Add the answers to what a weather file may not tell."""
    parser.add_argument("--preview", action="store_true", help="show what it would bring, only")
    parser.add_argument("--unit", choices=("celsius", "fahrenheit"), help="of the temperatures")
    parser.add_argument(
        "--date-order", choices=("year_first", "day_first", "month_first"), help="of the dates"
    )
    parser.add_argument(
        "--column",
        action="append",
        metavar="QUANTITY=NAME",
        default=[],
        help="what a column holds, such as lowest=TNK or stamp=Datum",
    )


def _action(
    actions: argparse._SubParsersAction[argparse.ArgumentParser], name: str, about: str
) -> argparse.ArgumentParser:
    parser = actions.add_parser(name, help=about, description=about)
    # Said before or after the action alike: a default here would hide what was said before.
    parser.add_argument("--tub", metavar="NAME", default=argparse.SUPPRESS, help=WHICH_TUB)
    parser.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help=AS_JSON)
    return parser


def _tub(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--tub", metavar="NAME", help=WHICH_TUB)
