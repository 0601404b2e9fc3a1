"""What can be said after ``tubcare water``."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable
    from datetime import date


def add_water(parser: argparse.ArgumentParser, day: Callable[[str], date]) -> None:
    """Add the actions of the water command; without one it shows how the water stands."""
    _ = day
    parser.add_argument("--tub")
    parser.set_defaults(action=None)
