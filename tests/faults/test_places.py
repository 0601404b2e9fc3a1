"""Bad places for a logbook, met by an ordinary user: full disk, read-only file and folder."""

from __future__ import annotations

import os
import resource
import signal
import sys
from typing import TYPE_CHECKING

import pytest

from tests.faults import units
from tubcare.errors import StoreError, StoreReadOnlyError
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX rights")
NOBODY = 65534


def as_ordinary_user(work: Callable[[], str]) -> str:
    """Run `work` in a child without root's rights and return what it says."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        if os.getuid() == 0:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        try:
            os.write(writer, work().encode())
        finally:
            os._exit(0)
    os.close(writer)
    os.waitpid(child, 0)
    with os.fdopen(reader, "rb") as pipe:
        return pipe.read().decode()


def outcome(work: Callable[[], None]) -> str:
    try:
        work()
    except StoreError as error:
        return f"{type(error).__name__}: {error.reason}"
    return "done"


def open_to_all(folder: Path) -> None:
    for place in (folder, *folder.parents):
        if place.stat().st_uid == os.getuid() and place != place.parent:
            place.chmod(0o755)


def test_a_read_only_file_in_a_read_only_folder_is_told_and_left_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "a.db"
    units.prepare(path)
    before = path.read_bytes()
    path.chmod(0o444)
    open_to_all(tmp_path)
    tmp_path.chmod(0o555)

    def work() -> None:
        store = open_store(path, units.START)
        units.work(store, 1)

    told = as_ordinary_user(lambda: outcome(work))
    tmp_path.chmod(0o755)
    assert told.startswith(StoreReadOnlyError.__name__)
    assert "writable" in told
    assert path.read_bytes() == before


def test_a_full_disk_is_told_and_nothing_is_half_written(tmp_path: Path) -> None:
    path = tmp_path / "a.db"
    units.prepare(path)
    tmp_path.chmod(0o777)
    open_to_all(tmp_path.parent)
    for part in tmp_path.iterdir():
        part.chmod(0o666)

    def work() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, 600_000))
        store = open_store(path, units.START)
        for number in range(1, 500):
            units.work(store, number, note="x" * 5000)

    told = as_ordinary_user(lambda: outcome(work))
    assert told.startswith("Store")
    assert "Nothing was changed" in told
    assert units.faults_found(path) == []
    assert len(units.numbers(path)) > 5
