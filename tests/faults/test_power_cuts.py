"""The power goes at many moments: what came before a sync is there, what came later may be not.

The worker runs under a library that records every write, sync, truncate and unlink. For each cut
the disk is rebuilt as it could look afterwards: of what was not yet synced each 512-byte sector
made it or did not, in any order; directory changes survive as a random prefix.
"""

from __future__ import annotations

import os
import random
import struct
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

from tests.faults import units
from tests.faults.injection import built_library

CUTS = 500 if os.environ.get("TUBCARE_LONG") else 50
UNITS = 40
SECTOR = 512


@dataclass
class Inode:
    """A file's content on the disk, and the operations that are not synced yet."""

    content: bytearray = field(default_factory=bytearray)
    pending: list[tuple[str, int, bytes]] = field(default_factory=list)

    def apply(self, kind: str, at: int, data: bytes, chance: random.Random | None = None) -> None:
        if kind == "T":
            del self.content[at:]
            self.content.extend(b"\0" * (at - len(self.content)))
            return
        for start in range(0, len(data), SECTOR):
            if chance is not None and chance.random() < 0.5:
                continue
            piece = data[start : start + SECTOR]
            end = at + start + len(piece)
            self.content.extend(b"\0" * (end - len(self.content)))
            self.content[at + start : end] = piece


Operation = tuple[str, str, int, bytes]


def recorded(trace: Path) -> list[Operation]:
    """Return the operations in the order in which they happened."""
    data, at, found = trace.read_bytes(), 0, []
    while at < len(data):
        kind = chr(data[at])
        (length,) = struct.unpack_from("<I", data, at + 1)
        name = data[at + 5 : at + 5 + length].decode()
        at += 5 + length
        offset, size = struct.unpack_from("<QI", data, at)
        at += 12
        body = b""
        if kind in "WR":
            body = data[at : at + size]
            at += size
        found.append((kind, name, offset, body))
    return found


def disk_after(  # noqa: C901, PLR0912  one branch for each kind of operation
    operations: list[Operation], base: dict[str, bytes], seed: int
) -> dict[str, bytes]:
    """Return the files as they could look when the power goes after these operations."""
    chance = random.Random(seed)
    files = {name: Inode(bytearray(content)) for name, content in base.items()}
    directory = dict(files)
    unsynced: list[tuple[str, str, Inode | None]] = []
    for kind, name, offset, body in operations:
        if kind == "O" and name not in files:
            files[name] = Inode()
            unsynced.append(("add", name, files[name]))
        elif kind in "WT":
            files[name].pending.append((kind, offset, body))
        elif kind == "U":
            files.pop(name, None)
            unsynced.append(("remove", name, None))
        elif kind == "S":
            target = files.get(name)
            if target is not None:
                for each in target.pending:
                    target.apply(*each)
                target.pending.clear()
            # The journal's own directory sync follows a file sync at once in SQLite on Linux.
            for what, other, inode in unsynced:
                _settle(directory, what, other, inode)
            unsynced.clear()
    for what, other, inode in unsynced[: chance.randint(0, len(unsynced))]:
        _settle(directory, what, other, inode)
    for inode in directory.values():
        for each in inode.pending:
            inode.apply(*each, chance)
    return {name: bytes(inode.content) for name, inode in directory.items()}


def _settle(directory: dict[str, Inode], what: str, name: str, inode: Inode | None) -> None:
    if what == "add" and inode is not None:
        directory[name] = inode
    else:
        directory.pop(name, None)


def acknowledgements(operations: list[Operation]) -> list[tuple[int, int]]:
    """Return (position, unit number) of every acknowledgement in the recording."""
    return [
        (at, int(body))
        for at, (kind, name, _offset, body) in enumerate(operations)
        if kind == "W" and name.endswith(".ack")
    ]


def worker(path: Path) -> None:
    """Work through the units, acknowledging each in a file that is recorded as well."""
    from tubcare.store.open import open_store

    store = open_store(path, units.START)
    descriptor = os.open(f"{path}.ack", os.O_WRONLY | os.O_CREAT)
    for number in range(1, UNITS + 1):
        units.work(store, number, note="x" * (number * 997 % 9000))
        os.write(descriptor, str(number).encode())
    os._exit(0)


def test_power_cuts_lose_nothing_acknowledged(tmp_path: Path) -> None:
    library = built_library(tmp_path)
    path, trace = tmp_path / "logbook.db", tmp_path / "trace"
    units.prepare(path)
    base = {str(path): path.read_bytes()}
    code = (
        "import sys; from pathlib import Path; from tests.faults.test_power_cuts import worker; "
    )
    code += "worker(Path(sys.argv[1]))"
    environment = os.environ | {
        "LD_PRELOAD": str(library),
        "FI_PREFIX": str(path),
        "FI_TRACE": str(trace),
    }
    subprocess.run([sys.executable, "-c", code, str(path)], env=environment, check=True)
    operations = recorded(trace)
    acknowledged = acknowledgements(operations)
    assert [number for _at, number in acknowledged] == list(range(1, UNITS + 1))
    chance = random.Random(42)
    for cut in range(CUTS):
        at = chance.randrange(acknowledged[0][0], len(operations))
        place = tmp_path / f"cut{cut}"
        place.mkdir()
        for name, content in disk_after(operations[:at], base, seed=cut).items():
            if not name.endswith(".ack"):
                (place / Path(name).name).write_bytes(content)
        rebuilt = place / path.name
        assert units.faults_found(rebuilt) == []
        assert {n for when, n in acknowledged if when < at} <= units.numbers(rebuilt)
