from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.faults import units

if TYPE_CHECKING:
    from pathlib import Path

KILLS = 300 if os.environ.get("TUBCARE_LONG") else 30

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX signals")


def work_until_killed(path: Path, first: int, chance: random.Random) -> list[int]:
    """Start a worker, kill it after a random number of units, return what it acknowledged."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.faults.units", str(path), str(first), "100000"],
        stdout=subprocess.PIPE,
    )
    assert child.stdout is not None
    seen = [int(child.stdout.readline()) for _ in range(chance.randint(1, 12))]
    for _ in range(chance.randrange(2000)):
        pass
    child.send_signal(signal.SIGKILL)
    seen += [int(line) for line in child.stdout.read().split()]
    child.wait()
    child.stdout.close()
    return seen


def test_kills_lose_nothing_acknowledged_and_leave_nothing_half_written(tmp_path: Path) -> None:
    path = tmp_path / "logbook.db"
    units.prepare(path)
    chance = random.Random(20260501)
    acknowledged: set[int] = set()
    for _ in range(KILLS):
        first = max(units.numbers(path), default=0) + 1
        acknowledged |= set(work_until_killed(path, first, chance))
        assert units.faults_found(path) == []
        assert acknowledged <= units.numbers(path)
    assert len(acknowledged) >= KILLS
