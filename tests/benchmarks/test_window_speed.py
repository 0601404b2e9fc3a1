"""From the command to the painted window, beside a bare QMainWindow; and to a week in use.

Each start is a process of its own, ours and the bare one in turns; the logbook is the demo's. In
use means that the list of this week has its rows, is painted and takes keys.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.support import window_probe
from tests.support.bench import FULL, Figure
from tubcare.clock import SystemClock
from tubcare.services.demo import demo_logbook

if TYPE_CHECKING:
    from collections.abc import Callable

STARTS = 12 if FULL else 1
Start = dict[str, float]


@pytest.fixture(name="start")
def _start(tmp_path: Path) -> Callable[..., Start]:
    """Return what starts a window and returns what it reached, in milliseconds."""
    surroundings = {
        name: value
        for name, value in os.environ.items()
        if name not in {"PYTHONDONTWRITEBYTECODE", "LC_ALL", "LANGUAGE"}
    }
    surroundings |= {
        "QT_QPA_PLATFORM": "offscreen",
        "LANG": "en_GB.UTF-8",
        "XDG_CONFIG_HOME": str(tmp_path / "settings"),
        "XDG_RUNTIME_DIR": str(tmp_path),
        "PYTHONPATH": str(Path(__file__).resolve().parent.parent.parent),
    }

    def start(which: str, *arguments: str) -> Start:
        command = [sys.executable, window_probe.__file__, which, repr(time.time()), *arguments]
        done = subprocess.run(
            command, check=True, capture_output=True, env=surroundings, text=True, timeout=60
        )
        found: Start = json.loads(done.stdout)
        return found

    return start


def test_the_window_is_painted_and_the_week_is_there(
    start: Callable[..., Start], tmp_path: Path
) -> None:
    logbook = str(shutil.copy(demo_logbook(SystemClock()), tmp_path / "demo.db"))
    start("tubcare", logbook)
    pairs = [(start("tubcare", logbook), start("bare")) for _ in range(STARTS)]

    def figure(what: str, base: str) -> Figure:
        return Figure([ours[what] for ours, _ in pairs], [bare[base] for _, bare in pairs])

    painted, in_use = figure("painted", "painted"), figure("usable", "painted")
    painted.told("window painted", "bare QMainWindow")
    figure("painted_cpu", "painted_cpu").told("the same, time of the processor", "bare")
    in_use.told("this week in use", "bare QMainWindow painted")
    assert painted.best_ms < in_use.best_ms
    if FULL:
        assert painted.ratio <= 1.5
        assert in_use.best_ms < 800
