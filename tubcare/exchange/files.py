"""Files that the program writes for other programs, whole or not at all, and reads from them."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from tubcare.errors import InputError


def write_bytes(path: Path, data: bytes) -> Path:
    """Write a file in place of what was there, and return its path.

    Raises
    ------
    InputError
        When the folder cannot be written to; what was there before is still there.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=".tubcare-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
            Path(name).replace(path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise InputError(
            "file", f"{path} cannot be written ({error.strerror}); choose another place"
        ) from error
    return path


def write_table(path: Path, text: str) -> Path:
    """Write a table as UTF-8 with the mark that spreadsheets look for; raises as `write_bytes`."""
    return write_bytes(path, text.encode("utf-8-sig"))


def read_text_file(path: Path) -> str:
    """Return the text of a file in UTF-8; raise `InputError` when it cannot be read."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("file", f"{path} cannot be read; is it a text file in UTF-8?") from error
