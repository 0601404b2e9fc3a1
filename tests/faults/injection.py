"""Builds the library that makes file operations fail or records them; see faultio.c."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

SOURCE = Path(__file__).with_name("faultio.c")


def built_library(folder: Path) -> Path:
    """Return the compiled library; its absence fails on Linux, elsewhere it cannot be built."""
    if sys.platform != "linux":
        pytest.skip("the library is for Linux")
    compiler = shutil.which("cc") or shutil.which("gcc")
    assert compiler is not None, "these tests need a C compiler (Debian: apt-get install gcc)"
    target = folder / "faultio.so"
    command = [compiler, "-O2", "-shared", "-fPIC", "-o", str(target), str(SOURCE), "-ldl"]
    subprocess.run(command, check=True, capture_output=True)
    return target
