"""What this computer keeps about the window: sizes, columns, look. The rest is in the logbook."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths


class Keeping:
    """Small values kept in one ini file, the same way on every system."""

    def __init__(self, path: Path) -> None:
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        self._settings = QSettings(str(path), QSettings.Format.IniFormat)

    def text(self, key: str, default: str = "") -> str:
        """Return a kept text."""
        value = self._settings.value(key)
        return value if isinstance(value, str) else default

    def number(self, key: str, default: int) -> int:
        """Return a kept whole number; what cannot be read counts as never kept."""
        try:
            return int(self.text(key, str(default)))
        except ValueError:
            return default

    def switch(self, key: str, *, default: bool) -> bool:
        """Return a kept yes or no."""
        return self.text(key, "yes" if default else "no") == "yes"

    def state(self, key: str) -> QByteArray:
        """Return a kept window or column state, empty when there is none."""
        value = self._settings.value(key)
        return value if isinstance(value, QByteArray) else QByteArray()

    def keep(self, key: str, value: str | bool | int | QByteArray) -> None:  # noqa: FBT001  a value
        """Keep one value."""
        if isinstance(value, bool):
            value = "yes" if value else "no"
        self._settings.setValue(key, value if isinstance(value, QByteArray) else str(value))

    def write(self) -> None:
        """Write what was kept to the disk."""
        self._settings.sync()


def default_path() -> Path:
    """Return where this system wants a program's settings."""
    place = QStandardPaths.StandardLocation.GenericConfigLocation
    return Path(QStandardPaths.writableLocation(place)) / "tubcare" / "window.ini"
