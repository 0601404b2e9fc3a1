"""One window for each logbook: a second start hands its wish to the first and ends.

A lock file decides, which is free of races and outlives a crash; a local socket carries the wish.
"""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING, Final
from zlib import crc32

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, Signal, Slot

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtNetwork import QLocalServer, QLocalSocket

_LOCK_MS: Final = 100
_ANSWER_MS: Final = 1500
_PATIENCE_S: Final = 3.0
_PAUSE_S: Final = 0.05
_MOST_BYTES: Final = 4096
_ANSWER: Final = b"ok"


class SingleInstance(QObject):
    """Holds the place of the one window that shows a logbook.

    Parameters
    ----------
    logbook
        Path or address of the logbook; each has its own place.
    folder
        Where lock files lie; None takes the folder of this login session.
    """

    asked_for = Signal(object)
    """Carries what a second start wants shown (a tuple of str), after the window's own place."""

    def __init__(
        self, logbook: str, parent: QObject | None = None, *, folder: Path | None = None
    ) -> None:
        super().__init__(parent)
        place = str(Path(logbook).resolve()) if "://" not in logbook else logbook
        self._name = f"tubcare-{crc32(place.encode()):08x}-{len(place)}"
        where = folder or _session_folder()
        where.mkdir(parents=True, exist_ok=True)
        self._lock = QLockFile(str(where / f"{self._name}.lock"))
        # Stale only when its process is gone, however long it has been there.
        self._lock.setStaleLockTime(0)
        self._server: QLocalServer | None = None

    def acquire(self) -> bool:
        """Take the place; return whether it was free."""
        return self._lock.tryLock(_LOCK_MS)

    def listen(self) -> None:
        """Hear second starts from now on; a second start waits a moment for this."""
        from PySide6.QtNetwork import QLocalServer  # noqa: PLC0415  after the first paint

        # What a crash left behind; safe, as the lock is ours.
        QLocalServer.removeServer(self._name)
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._hear)
        self._server.listen(self._name)

    def hand_over_if_taken(self, wish: Sequence[str] = ()) -> bool:
        """Return whether another window has the place and comes forward; else take the place.

        A window that has the place and does not answer is no reason to show nothing.
        """
        return not self.acquire() and self.hand_over(wish)

    def hand_over(self, wish: Sequence[str] = ()) -> bool:
        """Ask the window that is there to come forward; return whether it heard."""
        from PySide6.QtNetwork import QLocalSocket  # noqa: PLC0415  a first start needs none

        socket = QLocalSocket()
        until = time.monotonic() + _PATIENCE_S
        socket.connectToServer(self._name)
        while not socket.waitForConnected(_ANSWER_MS):
            if time.monotonic() > until:
                return False
            time.sleep(_PAUSE_S)
            socket.connectToServer(self._name)
        socket.write("\t".join(wish).encode()[: _MOST_BYTES - 1] + b"\n")
        socket.waitForBytesWritten(_ANSWER_MS)
        socket.waitForReadyRead(_ANSWER_MS)
        return bytes(socket.readAll().data()) == _ANSWER

    def release(self) -> None:
        """Give the place up."""
        if self._server is not None:
            self._server.close()
            self._server = None
        self._lock.unlock()

    @Slot()
    def _hear(self) -> None:
        while self._server is not None and self._server.hasPendingConnections():
            _Caller(self._server.nextPendingConnection(), self)


class _Caller(QObject):
    def __init__(self, socket: QLocalSocket, instance: SingleInstance) -> None:
        super().__init__(instance)
        self._socket = socket
        self._instance = instance
        socket.setParent(self)
        socket.readyRead.connect(self._read)
        socket.disconnected.connect(self.deleteLater)
        self._read()

    @Slot()
    def _read(self) -> None:
        if not self._socket.canReadLine():
            if self._socket.bytesAvailable() > _MOST_BYTES:
                self._socket.abort()
            return
        line = bytes(self._socket.readLine(_MOST_BYTES).data()).decode(errors="replace")
        self._socket.write(_ANSWER)
        self._socket.flush()
        self._socket.disconnectFromServer()
        self._instance.asked_for.emit(tuple(word for word in line.strip("\n").split("\t") if word))


def _session_folder() -> Path:
    kind = QStandardPaths.StandardLocation
    found = QStandardPaths.writableLocation(kind.RuntimeLocation)
    return Path(found or QStandardPaths.writableLocation(kind.TempLocation))
