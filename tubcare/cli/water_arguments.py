"""What can be said after ``tubcare water``."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tubcare.cli.figures import clock, finite

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    Day = Callable[[str], date]


def add_water(parser: argparse.ArgumentParser, day: Day) -> None:
    """Add the actions of the water command; without one it shows how the water stands."""
    parser.add_argument("--tub")
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=False)
    _action(actions, "plan", "Show what to add, step by step, with cautions and waits.")
    done = _action(actions, "done", "Tick a step of the plan: dose, stock, cost and waits.")
    done.add_argument("step", type=int)
    done.add_argument("--on", type=day, metavar="DATE", help="the day it was done")
    done.add_argument("--at", type=clock, metavar="HH:MM", help="from when its wait counts")
    dose = _action(actions, "dose", "Write down something added outside the plan.")
    dose.add_argument("product")
    dose.add_argument("amount", type=finite, help="in g or ml")
    dose.add_argument("--on", type=day, metavar="DATE")
    _action(actions, "shelf", "Show products, scoops and fill waters.")
    _product(actions, day)
    scoop = _action(actions, "scoop", "Keep a scoop, spoon, syringe or cup.")
    scoop.add_argument("name")
    scoop.add_argument("ml", type=finite, nargs="?", help="level full")
    scoop.add_argument("--divisions", type=int, default=2, help="parts that can be read off")
    scoop.add_argument("--for", dest="form", choices=("solid", "liquid"))
    source = _action(actions, "source", "Keep the test of a fill water; the tub gets it.")
    source.add_argument("name")
    source.add_argument("values", nargs="*", metavar="QUANTITY=VALUE")
    source.add_argument("--on", type=day, metavar="DATE")
    for each in (scoop, source):
        each.add_argument("--drop", action="store_true")
    _test(actions, day)
    export = _action(actions, "export", "Write all readings of a tub to a CSV file.")
    export.add_argument("file")
    taking = _action(actions, "import", "Look into a CSV file of readings, and take it over.")
    taking.add_argument("file")
    taking.add_argument(
        "--map", action="append", default=[], metavar="COLUMN=FIELD", help="what a column holds"
    )
    taking.add_argument("--unit", action="append", default=[], metavar="COLUMN=UNIT")
    taking.add_argument("--take", action="store_true", help="take it over: all or nothing")
    course = _action(actions, "course", "Show the course of a reading until the next test.")
    course.add_argument("quantity", help="such as ph or free_chlorine")
    _action(actions, "ranges", "Show the ranges of the tub with their documents.")
    _range(actions)


def _test(actions: argparse._SubParsersAction[argparse.ArgumentParser], day: Day) -> None:
    test = _action(actions, "test", "Write down a test, in the units of the kit.")
    test.add_argument("values", nargs="+", metavar="FIELD=VALUE", help="such as ph=7.4")
    test.add_argument("--sure", action="store_true", help="keep unlikely values as written")
    test.add_argument("--on", type=day, metavar="DATE")
    test.add_argument("--at", type=clock, metavar="HH:MM")
    test.add_argument("--note", default="")
    kit = _action(actions, "kit", "Show or change the test kit.")
    kit.add_argument("--fields", metavar="A,B", help="what it shows, by name")
    kit.add_argument(
        "--unit", action="append", default=[], metavar="WHAT=UNIT", help="such as hardness=gpg"
    )
    kit.add_argument("--metals", metavar="A,B", help="metals in the water beside the liner")
    kit.add_argument(
        "--strip",
        action="append",
        default=[],
        metavar="FIELD=STEPS",
        help="colours of its pad, such as “ph=6.4;6.8;7.2”; no steps take the pad away",
    )


def _product(actions: argparse._SubParsersAction[argparse.ArgumentParser], day: Day) -> None:
    product = _action(actions, "product", "Keep what the label of a product says.")
    product.add_argument("name")
    product.add_argument("--compound", help="what it holds, such as sodium_bisulfate")
    product.add_argument("--strength", type=finite)
    product.add_argument("--kind", help="how the label states it")
    product.add_argument("--density", type=finite, metavar="KG_L")
    product.add_argument("--filled", type=day, metavar="DATE", help="from when it ages")
    product.add_argument("--storage-c", type=finite, default=15.0)
    product.add_argument("--drop", action="store_true")


def _range(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    change = _action(actions, "range", "Change a range of the tub.")
    change.add_argument("quantity", help="such as ph or free_chlorine")
    for end in ("low", "aim", "high"):
        change.add_argument(f"--{end}", help="in the unit of the kit; none leaves it open")
    change.add_argument("--reset", action="store_true", help="bring back the one of the book")


def _action(
    actions: argparse._SubParsersAction[argparse.ArgumentParser], name: str, about: str
) -> argparse.ArgumentParser:
    parser = actions.add_parser(name, help=about, description=about)
    # Without SUPPRESS the action would forget what was said before its name.
    parser.add_argument("--tub", default=argparse.SUPPRESS)
    parser.add_argument("--json", action="store_true", default=argparse.SUPPRESS)
    return parser
