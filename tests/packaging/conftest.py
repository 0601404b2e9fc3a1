"""A tiny checkout with the two scripts, a program of three lines and a test runner of four."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]
PROGRAM = """\
import os, sys
print("tubcare runs with", sys.argv[1:])
sys.exit(int(os.environ.get("EXIT_CODE", "0")))
"""
TEST_RUNNER = """\
import os, sys
print("pytest runs with", sys.argv[1:], "on", os.environ.get("QT_QPA_PLATFORM"), "in", os.getcwd())
sys.exit(3)
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkout:
    """A checkout of its own, with a home and a cache of its own."""

    top: Path
    home: Path

    @property
    def environments(self) -> list[Path]:
        cache = self.home / ".cache" / "tubcare" / "environments"
        return sorted(path for path in cache.glob("*") if path.is_dir())

    def depend_on(self, *requirements: str) -> None:
        listed = ", ".join(f'"{requirement}"' for requirement in requirements)
        text = f'[project]\nname = "tubcare"\ndependencies = [{listed}]\n'
        (self.top / "pyproject.toml").write_text(text, "utf-8")

    def begin(
        self, script: str, *arguments: str, cwd: Path | None = None, **variables: str
    ) -> subprocess.Popen[str]:
        """Start a script as a person would who has nothing set, not even a display."""
        bare = {"HOME": str(self.home), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}
        return subprocess.Popen(
            [sys.executable, str(self.top / "packaging" / script), *arguments],
            cwd=cwd or self.home,
            env=bare | variables,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )

    def run(
        self, script: str, *arguments: str, cwd: Path | None = None, **variables: str
    ) -> tuple[int, str]:
        """Run a script to its end; return its exit code and all that it said."""
        process = self.begin(script, *arguments, cwd=cwd, **variables)
        said, _ = process.communicate(timeout=120)
        return process.returncode, said


@pytest.fixture
def checkout(tmp_path: Path) -> Checkout:
    made = Checkout(top=tmp_path / "checkout", home=tmp_path / "home")
    made.home.mkdir()
    (made.top / "tubcare").mkdir(parents=True)
    (made.top / "tubcare" / "__main__.py").write_text(PROGRAM, "utf-8")
    (made.top / "pytest.py").write_text(TEST_RUNNER, "utf-8")
    (made.top / "packaging").mkdir()
    for script in (TOP / "packaging").glob("*.py"):
        shutil.copy(script, made.top / "packaging")
    (made.top / "packaging" / "constraints.txt").touch()
    made.depend_on()
    return made
