"""Every write of a small session fails in turn, as SQLite's own anomaly tests do it."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.faults import units
from tests.faults.injection import built_library
from tubcare.errors import StoreError
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from pathlib import Path

UNITS = 4
EVERY = 8 if os.environ.get("TUBCARE_LONG") else 16


def session(path: Path) -> None:
    """Work through a few units; acknowledge each, and name each typed error."""
    store = open_store(path, units.START)
    for number in range(1, UNITS + 1):
        try:
            units.work(store, number, note="x" * 3000)
        except StoreError as error:
            os.write(1, f"error {type(error).__name__}\n".encode())
        else:
            os.write(1, f"{number}\n".encode())
    store.close()


def run(path: Path, library: Path, *, at: int, kind: str, sticky: bool) -> tuple[bool, list[str]]:
    """Run the session with one failing operation; return whether it fired, and the output."""
    hit = path.with_suffix(".hit")
    hit.unlink(missing_ok=True)
    environment = os.environ | {
        "LD_PRELOAD": str(library),
        "FI_PREFIX": str(path),
        "FI_AT": str(at),
        "FI_KIND": kind,
        "FI_HIT": str(hit),
    }
    if sticky:
        environment["FI_STICKY"] = "1"
    code = "import sys; from pathlib import Path; from tests.faults.test_failing_writes import "
    code += "session; session(Path(sys.argv[1]))"
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], env=environment, capture_output=True, check=False
    )
    return hit.exists(), done.stdout.decode().splitlines()


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built_library(tmp_path_factory.mktemp("faultio"))


@pytest.mark.parametrize(
    ("kind", "sticky"),
    [("eio", False), ("eio", True), ("enospc", False), ("enospc", True), ("torn", False)],
)
def test_a_failing_write_loses_nothing_acknowledged(
    tmp_path: Path, library: Path, kind: str, sticky: bool
) -> None:
    fresh = tmp_path / "fresh.db"
    units.prepare(fresh)
    at, fired = 1 + len(kind) % 4, True
    while fired:
        path = tmp_path / f"{at}.db"
        path.write_bytes(fresh.read_bytes())
        fired, output = run(path, library, at=at, kind=kind, sticky=sticky)
        acknowledged = {int(line) for line in output if line.isdigit()}
        assert units.faults_found(path) == []
        assert acknowledged <= units.numbers(path)
        if fired and kind != "torn" and not sticky:
            assert UNITS in acknowledged or "error" in output[-1]
        at += EVERY
    assert at > EVERY
