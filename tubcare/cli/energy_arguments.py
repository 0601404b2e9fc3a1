"""What can be said on the command line about frost and power."""

from __future__ import annotations

import argparse

from tubcare.cli.figures import finite

NUMBER = "NUMBER"
WHICH_TUB = "which tub, where there are several"
AS_JSON = "write JSON with stable fields"
# Written out, so that reading the arguments loads no engine; a test holds both alike.
WIND_UNITS = ("m_s", "km_h", "mph", "knots", "leave_out")
SUN_UNITS = ("w_m2", "wh_m2", "kwh_m2", "kj_m2", "mj_m2", "j_cm2", "leave_out")


def add_frost(parser: argparse.ArgumentParser) -> None:
    """Add what `tubcare frost` understands."""
    _tub(parser)
    parser.add_argument(
        "--air-c", type=finite, metavar=NUMBER, help="air temperature of the night, in °C"
    )
    parser.add_argument("--csv", metavar="FILE", help="write dates, winters and minima to a file")
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    taken = _action(actions, "import", "Take over daily minima from a CSV file, or look at it.")
    taken.add_argument("file")
    add_answers(taken)
    chosen = _action(actions, "choose", "Choose risks, level, site offset and lead days.")
    chosen.add_argument("--risk", type=int, metavar="PERCENT", help="of “watch from”")
    chosen.add_argument("--dry-risk", type=int, metavar="PERCENT", help="of “dry by”")
    chosen.add_argument("--dry-level-c", type=finite, metavar=NUMBER, help="-4 unless said else")
    chosen.add_argument("--offset-c", type=finite, metavar=NUMBER, help="tub against station")
    chosen.add_argument("--lead-days", type=int, metavar="DAYS", help="days to do the job in")
    chosen.add_argument(
        "--at-level", choices=("counts", "does-not"), help="a night exactly at the level"
    )
    dates = _action(actions, "dates", "Write down two dates that you know.")
    dates.add_argument("watch_from", metavar="MM-DD")
    dates.add_argument("dry_by", metavar="MM-DD")


def add_power(parser: argparse.ArgumentParser) -> None:
    """Add what `tubcare power` understands."""
    _tub(parser)
    parser.add_argument("--csv", metavar="FILE", help="write season, months and weeks to a file")
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    _weather(actions)
    _tariff(actions)
    _build(actions)
    ideas = _action(actions, "what-if", "Compare what would lower the cost.")
    for name, shown, about in (
        ("set_point", "C[:PRICE]", "another set point"),
        ("pump_hours", "HOURS[:PRICE]", "pump hours a day"),
        ("shading", "SHARE[:PRICE]", "share of the sun kept off, 0 to 1"),
        ("wall", "BUILD-UP[:PRICE]", "another wall"),
        ("lid", "BUILD-UP[:PRICE]", "another lid"),
        ("season", "DAYS[:PRICE]", "days closed earlier; later with =-14"),
        ("price", "PRICE[:PRICE]", "one price for a kilowatt hour"),
    ):
        flag = f"--{name.replace('_', '-')}"
        ideas.add_argument(flag, dest=name, action="append", metavar=shown, help=about)
    ideas.add_argument(
        "--by-time",
        action="append",
        default=[],
        metavar="TIMES",
        help="prices by time of day, such as “0.30; 22:00-06:00 0.12”",
    )
    _hourly(ideas)
    _csv(ideas)
    learn = _action(actions, "learn", "Show what the meter readings tell about the tub.")
    learn.add_argument("--keep", action="store_true", help="use it from now on")
    learn.add_argument("--forget", action="store_true", help="stop going by the meter")
    _csv(learn)
    learn.add_argument("--delete-drift", action="store_true", help="take the drift test away")
    drift = _action(actions, "drift", "Write down a drift test: unit and pump off, lid on.")
    drift.add_argument("readings", nargs="+", metavar="HOURS=C", help="such as 0=5.0 4=5.9")
    drift.add_argument("--air-c", type=finite, required=True, metavar=NUMBER, help="mean air")
    hours = _action(actions, "hours", "Plan the cheapest hours to run the chiller.")
    hours.add_argument("--low-c", type=finite, required=True, metavar=NUMBER)
    hours.add_argument("--high-c", type=finite, required=True, metavar=NUMBER)
    hours.add_argument("--ahead", type=int, default=24, metavar="HOURS")
    _csv(hours)


def _weather(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    weather = _action(
        actions, "weather", "Take over measured weather or a typical year, or show what is in use."
    )
    weather.add_argument("file", nargs="?")
    _csv(weather)
    weather.add_argument(
        "--clock", choices=("place", "standard", "utc"), default="place", help="of the file"
    )
    add_answers(weather)
    means = _action(actions, "means", "Write down twelve monthly means, January first.")
    means.add_argument("means", nargs=12, type=finite, metavar="MEAN")
    means.add_argument("--unit", choices=("celsius", "fahrenheit"), default="celsius")
    means.add_argument("--swing-k", type=finite, default=4.0, help="half of the daily range")


def _tariff(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    tariff = _action(actions, "tariff", "Show prices, or set them; what is not said stays.")
    _csv(tariff)
    tariff.add_argument("--price", metavar="PRICE", help="for a kilowatt hour")
    tariff.add_argument(
        "--band", action="append", default=[], metavar="TIMES", help="such as “22:00-06:00 0.12”"
    )
    _hourly(tariff)
    tariff.add_argument("--standing", metavar="PRICE", help="standing charge for a day")
    tariff.add_argument("--tax", metavar="PERCENT")
    tariff.add_argument("--view", choices=("marginal", "by_energy", "own_meter"))
    tariff.add_argument("--household", metavar="KWH", help="of the whole household in a year")


def _hourly(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--hourly", metavar="FILE", help="a price for each hour")
    parser.add_argument(
        "--per", choices=("unit_kwh", "cent_kwh", "unit_mwh"), help="what the file's price is for"
    )
    parser.add_argument("--utc", action="store_true", help="the file is told in UTC")


def _build(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    build = _action(actions, "build", "Show the build, or change parts of it.")
    _csv(build)
    build.add_argument("--wall", metavar="BUILD-UP")
    build.add_argument("--lid", metavar="BUILD-UP")
    build.add_argument("--wall-layers", metavar="LAYERS", help="such as “xps 80; softwood 20”")
    build.add_argument("--lid-layers", metavar="LAYERS")
    build.add_argument("--evaporator", choices=("wall_coil", "coil_in_water", "flow_through"))
    for name in (
        "bridges-w-k",
        "lid-absorptance",
        "shading",
        "cooling-w",
        "least-air-c",
        "pump-w",
        "pump-hours-per-day",
        "set-point-c",
        "dips-per-day",
    ):
        build.add_argument(f"--{name}", type=finite, metavar=NUMBER)


def add_answers(parser: argparse.ArgumentParser) -> None:
    """Add the answers to what a weather file may not tell."""
    parser.add_argument("--preview", action="store_true", help="show what it would bring, only")
    parser.add_argument("--unit", choices=("celsius", "fahrenheit"), help="of the temperatures")
    parser.add_argument(
        "--wind-unit", choices=WIND_UNITS, help="of the wind; leave_out: not to be used"
    )
    parser.add_argument(
        "--sun-unit", choices=SUN_UNITS, help="of the sunshine; leave_out: not to be used"
    )
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


def _csv(parser: argparse.ArgumentParser) -> None:
    # Said before the action it counts as well, as in `_action`.
    parser.add_argument(
        "--csv", metavar="FILE", default=argparse.SUPPRESS, help="write the figures to a file"
    )


def _tub(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--tub", metavar="NAME", help=WHICH_TUB)
