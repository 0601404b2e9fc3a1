"""The week in the terminal, from the command to its last line, beside importing the ORM alone.

The logbook is that of the demo: two tubs, their care plans, two seasons of history.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

from tests.support.bench import FULL, Figure, beside, children_ms

if TYPE_CHECKING:
    from pathlib import Path

ROUNDS = 12 if FULL else 1
# Byte code as an installed program has it; the first call below writes it where it is missing.
SURROUNDINGS = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def run(*command: str) -> str:
    done = subprocess.run(
        [sys.executable, *command], check=True, capture_output=True, env=SURROUNDINGS, text=True
    )
    return done.stdout


def test_the_week_in_the_terminal(demo: Path, tmp_path: Path) -> None:
    path = shutil.copy(demo, tmp_path / "demo.db")
    week = ("-m", "tubcare", "--logbook", str(path), "week")
    said = run(*week)
    figure = beside(lambda: run(*week), lambda: run("-c", "import sqlalchemy.orm"), ROUNDS)
    figure.told("tubcare week", "importing the ORM alone")
    worked = Figure(
        [children_ms(lambda: run(*week)) for _ in range(ROUNDS)],
        [children_ms(lambda: run("-c", "import sqlalchemy.orm")) for _ in range(ROUNDS)],
    )
    worked.told("the same, time of the processor", "importing the ORM alone")
    assert "Today" in said
    if FULL:
        assert figure.best_ms < 500


def test_the_week_loads_no_other_command_and_nothing_for_a_server(tmp_path: Path) -> None:
    program = (
        "import sys; from tubcare.app import main; main(['--logbook', sys.argv[1], 'week']);"
        "print('loaded:', *sorted(m for m in sys.modules if m.startswith(sys.argv[2])))"
    )
    path = str(tmp_path / "a.db")
    run("-m", "tubcare", "--logbook", path, "week")
    ours = run("-c", program, path, "tubcare.cli.").partition("loaded:")[2].split()
    server = run("-c", program, path, "sqlalchemy.dialects.postgresql").partition("loaded:")[2]
    commands = {name for name in ours if not name.endswith("arguments")}
    assert commands == {f"tubcare.cli.{name}" for name in ("figures", "output", "run", "weekly")}
    assert not server.strip()
