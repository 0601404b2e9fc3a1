"""Finds data files inside installed packages; an absent one fails the test, it never skips.

The packages are installed without their own dependencies, for their data alone. The ASHRAE-owned
weather files are read where they lie and never copied.
"""

from __future__ import annotations

import gzip
import hashlib
from importlib.metadata import distribution
from pathlib import Path


def data_file(package: str, path: str) -> Path:
    """Return a data file of an installed distribution."""
    found = Path(str(distribution(package).locate_file(path)))
    assert found.exists(), f"{package} is installed without {path}"
    return found


def data_text(package: str, path: str) -> str:
    """Return the text of a data file, unpacked if it is packed."""
    raw = data_file(package, path).read_bytes()
    return (gzip.decompress(raw) if path.endswith(".gz") else raw).decode("latin-1")


def sha256(package: str, path: str) -> str:
    """Return the checksum of a data file."""
    return hashlib.sha256(data_file(package, path).read_bytes()).hexdigest()
