"""The slow part of making an environment: venv and pip, with their progress told briefly."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from typing import TYPE_CHECKING, Final

from environment import EnvironmentFailedError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

# A line of pip's reads: Downloading numpy-2.4.6-cp311-cp311-manylinux_2_28_x86_64.whl (16.9 MB)
_FETCHED: Final = re.compile(
    r"\s*(?:Downloading|Using cached|Processing) (?:\S*/)?([^/\s]+?)-(\d[^-\s]*)"
    r"(?:-\S+\.whl|\.tar\.gz)(?!\.)(.*)"
)
_UNPACKING: Final = re.compile(r"Installing collected packages: (.*)")


def make_virtual_environment(place: Path, *, with_pip: bool) -> None:
    """Make an empty environment; where the system has cut venv out, say what to install."""
    command = [sys.executable, "-m", "venv", str(place)]
    if not with_pip:
        command.append("--without-pip")
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=_plain())
    if done.returncode == 0:
        return
    said = (done.stderr.strip() or done.stdout.strip()).splitlines()
    if any("ensurepip" in line or "No module named venv" in line for line in said):
        version = f"{sys.version_info.major}.{sys.version_info.minor}"
        msg = (
            "This Python comes without venv. Install it and start again:"
            f"\n  sudo apt-get install python{version}-venv"
        )
        raise EnvironmentFailedError(msg)
    msg = "The environment could not be made: " + (said[-1] if said else "venv gave no reason")
    raise EnvironmentFailedError(msg)


def pip_install(python: Path, arguments: Sequence[str], *, log: Path) -> None:
    """Install with pip, tell each package as it comes, keep the whole log."""
    command = [str(python), "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    command += ["--progress-bar", "off", *arguments]
    with log.open("a", encoding="utf-8") as kept:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
            env=_plain(),
        )
        with process:
            assert process.stdout is not None  # noqa: S101 - asked for just above
            for line in process.stdout:
                kept.write(line)
                if told := progress_of(line):
                    print(f"  {told}", flush=True)
    if process.returncode != 0:
        lines = log.read_text("utf-8").splitlines()
        errors = [line for line in lines if line.startswith("ERROR")] or lines[-3:]
        msg = "The packages could not be installed:\n  " + "\n  ".join(errors[-3:])
        raise EnvironmentFailedError(f"{msg}\nThe whole log: {log}")


def progress_of(line: str) -> str | None:
    """Turn a line of pip's into one for the person, or into nothing."""
    if found := _FETCHED.match(line):
        return f"{found[1]} {found[2]}{found[3].rstrip()}"
    if found := _UNPACKING.match(line):
        count = found[1].count(",") + 1
        return f"unpacking {count} {'package' if count == 1 else 'packages'}"
    return None


def _plain() -> dict[str, str]:
    """Return the environment variables without those that would lead packages elsewhere."""
    leading_elsewhere = ("PYTHONPATH", "PYTHONHOME", "PIP_TARGET", "PIP_PREFIX")
    kept = {name: value for name, value in os.environ.items() if name not in leading_elsewhere}
    return kept | {"PIP_USER": "0", "PYTHONUNBUFFERED": "1", "PYTHONIOENCODING": "utf-8"}
