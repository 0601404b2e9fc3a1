"""A session bus of its own for one test, with a notification service on it."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

SERVICE = Path(__file__).with_name("notification_service.py")
CONFIG = """<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>session</type>
  <listen>unix:dir={folder}</listen>
  <policy context="default">
    <allow send_destination="*" eavesdrop="true"/>
    <allow eavesdrop="true"/>
    <allow own="*"/>
  </policy>
</busconfig>
"""


def bus_is_installed() -> bool:
    """Return whether the message bus of freedesktop.org is on this computer."""
    return shutil.which("dbus-daemon") is not None


@contextmanager
def session_bus(folder: Path) -> Iterator[str]:
    """Run a session bus; yield its address."""
    config = folder / "session.conf"
    config.write_text(CONFIG.format(folder=folder))
    command = ["dbus-daemon", f"--config-file={config}", "--nofork", "--print-address"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as bus:
        assert bus.stdout is not None
        try:
            yield bus.stdout.readline().strip()
        finally:
            bus.kill()


class Service:
    """A running notification service and what it was asked."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process
        self._said: list[dict[str, Any]] = []
        self._hear()

    def calls(self, member: str, count: int = 1) -> list[list[Any]]:
        """Return the bodies of the next calls of a member, waiting for them."""
        found: list[list[Any]] = []
        while len(found) < count:
            said = self._hear()
            if said.get("call") == member:
                found.append(said["body"])
        return found

    def end(self) -> None:
        """End the service, as when a desktop restarts it."""
        self._process.kill()
        self._process.wait()

    def _hear(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        assert line, "the service has ended"
        said: dict[str, Any] = json.loads(line)
        return said


@contextmanager
def notification_service(address: str, *options: str) -> Iterator[Service]:
    """Run the service on a bus until the end of the block."""
    command = [sys.executable, str(SERVICE), *options]
    environment = {"DBUS_SESSION_BUS_ADDRESS": address, "PATH": ""}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as process:
        try:
            yield Service(process)
        finally:
            process.kill()
