"""A table of figures, written to the file that was named on the command line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.exchange.files import write_table

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable


def write_csv(values: argparse.Namespace, table: Callable[[], str]) -> None:
    """Write a table where a file was named; raise `InputError` when it cannot be written."""
    if values.csv:
        write_table(Path(values.csv), table())
