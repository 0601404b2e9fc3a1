"""Where a logbook may lie: turns what the person named into a database address."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from tubcare.errors import InputError, StorePlaceError

_NETWORK_TYPES = frozenset(
    {
        "9p",
        "afs",
        "ceph",
        "cifs",
        "fuse.sshfs",
        "glusterfs",
        "nfs",
        "nfs4",
        "smb2",
        "smb3",
        "smbfs",
    }
)
_REMOTE_DRIVE = 4


def logbook_url(named: str | Path) -> URL:
    """Return the database address of a logbook named by path or by URL.

    Raises
    ------
    InputError
        If the text looks like an address but cannot be one, or names another kind of database.
    """
    text = str(named)
    if "://" not in text:
        return URL.create("sqlite", database=str(Path(text).expanduser().absolute()))
    try:
        url = make_url(text)
    except ArgumentError as error:
        raise InputError("logbook", f"“{text}” is not an address of a database") from error
    if url.get_backend_name() == "postgresql":
        return url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() == "sqlite" and url.database:
        return url
    raise InputError(
        "logbook", f"“{text}” is neither a file nor an address such as postgresql://host/name"
    )


def mount_type(path: Path, table: str) -> str:
    """Return the file system type of the mount that holds `path`, from a mount table's text."""
    best, kind = "", ""
    for line in table.splitlines():
        fields = line.split()
        if len(fields) < 3:
            continue
        point = fields[1].replace("\\040", " ")
        inside = (
            point == "/" or path.as_posix() == point or path.as_posix().startswith(point + "/")
        )
        if inside and len(point) >= len(best):
            best, kind = point, fields[2]
    return kind


def on_network_drive(path: Path) -> bool:
    """Return whether `path` lies on a drive whose locks cannot be trusted."""
    if sys.platform == "win32":
        import ctypes  # noqa: PLC0415  exists with this member on Windows alone

        if path.as_posix().startswith("//"):
            return True
        return bool(ctypes.windll.kernel32.GetDriveTypeW(path.anchor) == _REMOTE_DRIVE)
    mounts = Path(os.environ.get("TUBCARE_MOUNT_TABLE", "/proc/mounts"))
    if not mounts.exists():
        return False
    return mount_type(path.resolve(), mounts.read_text(encoding="utf-8")) in _NETWORK_TYPES


def check_place(path: Path) -> None:
    """Refuse a place that cannot hold a logbook.

    Raises
    ------
    StorePlaceError
        If the path is a folder, its folder is missing, or it lies on a network drive.
    """
    if path.is_dir():
        raise StorePlaceError(str(path), "this is a folder; name a file in it.")
    if not path.parent.is_dir():
        raise StorePlaceError(
            str(path), f"the folder {path.parent} does not exist; make it or choose another."
        )
    if on_network_drive(path):
        raise StorePlaceError(
            str(path),
            "this is a network drive, where two programs can overwrite each other unseen. Keep "
            "the file on this computer, or share a logbook through PostgreSQL.",
        )
