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

from tests.support.bench import FULL, Figure

if TYPE_CHECKING:
    from collections.abc import Callable

PROBE = Path(__file__).resolve().parent.parent / "support" / "window_probe.py"
STARTS = 12 if FULL else 1
SWITCHES = 1000 if FULL else 12
IDLE_S = 60.0 if FULL else 0.5
Window = subprocess.Popen[str]


@pytest.fixture(name="begin")
def _begin(tmp_path: Path) -> Callable[..., Window]:
    """Return what starts a window in a process of its own."""
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
        "PYTHONPATH": str(PROBE.parent.parent.parent),
    }

    def begin(which: str, *arguments: str) -> Window:
        command = [sys.executable, str(PROBE), which, repr(time.time()), *arguments]
        return subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=surroundings,
            text=True,
        )

    return begin


@pytest.fixture
def logbook(demo: Path, tmp_path: Path, begin: Callable[..., Window]) -> str:
    """Return a copy of the demo's logbook, with everything warm that a start reads."""
    path = str(shutil.copy(demo, tmp_path / "demo.db"))
    reached(begin("tubcare", path))
    return path


def reached(window: Window) -> dict[str, float]:
    """Wait for the window's end and return what it reached, in milliseconds."""
    said, _ = window.communicate(timeout=600)
    found: dict[str, float] = json.loads(said)
    return found


def test_the_window_is_painted_and_the_week_is_there(
    begin: Callable[..., Window], logbook: str
) -> None:
    pairs = [(reached(begin("tubcare", logbook)), reached(begin("bare"))) for _ in range(STARTS)]

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


def test_an_idle_window_lets_the_computer_sleep(
    begin: Callable[..., Window], logbook: str
) -> None:
    idle = str(IDLE_S)
    both = begin("tubcare", logbook, "--idle", idle), begin("bare", "--idle", idle)
    ours, bare = map(reached, both)
    # Both count the timer that ends the counting.
    timeouts = ours["idle_timeouts"] - bare["idle_timeouts"]
    share, theirs = (each["idle_cpu"] / (IDLE_S * 1000) for each in (ours, bare))
    print(  # noqa: T201  the figure is the point
        f"\nidle for {IDLE_S:g} s: {share:.3%} of a core, {timeouts:g} timers ran out,"
        f" {ours['idle_switches']:g} times asleep; bare QMainWindow: {theirs:.3%},"
        f" {bare['idle_switches']:g} times asleep"
    )
    assert bare["idle_timeouts"] <= 1
    if FULL:
        assert share < 0.003
        assert timeouts <= 2


def test_memory_stays_after_many_changes_of_section(
    begin: Callable[..., Window], logbook: str
) -> None:
    ours = reached(begin("tubcare", logbook, "--switches", str(SWITCHES)))
    bare = reached(begin("bare", "--switches", "1"))
    base = bare["memory"]
    print(  # noqa: T201  the figure is the point
        f"\nmemory: bare QMainWindow {base:.0f} MB; ours before a chart {ours['memory']:.0f} MB"
        f" ({ours['memory'] / base:.2f}x), after one {ours['memory_chart']:.0f} MB"
        f" ({ours['memory_chart'] / base:.2f}x), after every section {ours['memory_all']:.0f} MB,"
        f" growth over {SWITCHES} changes {ours['memory_after'] - ours['memory_all']:+.1f} MB"
    )
    assert ours["memory"] <= ours["memory_chart"]
