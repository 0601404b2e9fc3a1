"""A stand-in for a desktop's notification service, as strict about signatures as real ones are.

After the Desktop Notifications Specification 1.2 (freedesktop.org). Prints a line of JSON for each
call. With `--press KEY` it presses that button of each notification at once, and closes it, as
desktops do. Runs as a program of its own on the session bus.
"""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from jeepney import (
    DBusAddress,
    HeaderFields,
    MessageType,
    message_bus,
    new_error,
    new_method_return,
    new_signal,
)
from jeepney.io.blocking import open_dbus_connection

if TYPE_CHECKING:
    from jeepney import Message
    from jeepney.io.blocking import DBusConnection

NAME = "org.freedesktop.Notifications"
PLACE = DBusAddress("/org/freedesktop/Notifications", interface=NAME)
SIGNATURES = {"Notify": "susssasa{sv}i", "CloseNotification": "u"}
EXPIRED, DISMISSED, CLOSED_BY_CALL = 1, 2, 3


class Service:
    """Answers calls until the bus goes away."""

    def __init__(self, connection: DBusConnection, capabilities: list[str], press: str) -> None:
        self._connection = connection
        self._capabilities = capabilities
        self._press = press
        self._newest = 0
        self._open: set[int] = set()

    def run(self) -> None:
        """Answer every call."""
        while True:
            message = self._connection.receive()
            fields = message.header.fields
            if (
                message.header.message_type is MessageType.method_call
                and fields.get(HeaderFields.interface) == NAME
            ):
                self._answer(message, fields[HeaderFields.member])

    def _answer(self, message: Message, member: str) -> None:
        signature = message.header.fields.get(HeaderFields.signature, "")
        _say({"call": member, "body": message.body})
        if signature != SIGNATURES.get(member, signature):
            error = f"({signature}) does not match ({SIGNATURES[member]})"
            self._send(new_error(message, f"{NAME}.Error.InvalidArgs", "s", (error,)))
        elif member == "GetCapabilities":
            self._send(new_method_return(message, "as", (self._capabilities,)))
        elif member == "Notify":
            self._notify(message)
        elif member == "CloseNotification":
            self._close(message)
        else:
            self._send(new_error(message, "org.freedesktop.DBus.Error.UnknownMethod"))

    def _notify(self, message: Message) -> None:
        replaces = message.body[1]
        if replaces in self._open:
            shown = replaces
        else:
            self._newest += 1
            shown = self._newest
            self._open.add(shown)
        if self._press:
            # Of another program: signals reach everybody on the bus.
            self._send(new_signal(PLACE, "ActionInvoked", "us", (shown + 1000, self._press)))
        self._send(new_method_return(message, "u", (shown,)))
        if self._press:
            self._send(new_signal(PLACE, "ActionInvoked", "us", (shown, self._press)))
            self._open.discard(shown)
            self._send(new_signal(PLACE, "NotificationClosed", "uu", (shown, DISMISSED)))

    def _close(self, message: Message) -> None:
        shown = message.body[0]
        if shown not in self._open:
            self._send(new_error(message, f"{NAME}.Error.ExcessNotifications"))
            return
        self._open.discard(shown)
        self._send(new_method_return(message))
        closed = (shown, CLOSED_BY_CALL)
        self._send(new_signal(PLACE, "NotificationClosed", "uu", closed))

    def _send(self, message: Message) -> None:
        self._connection.send(message)


def _say(what: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(what, default=str) + "\n")
    sys.stdout.flush()


def main() -> None:
    """Run until the bus goes away."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--press", default="")
    parser.add_argument("--capabilities", nargs="*", default=["body", "actions"])
    values = parser.parse_args()
    connection = open_dbus_connection(bus="SESSION")
    (owner,) = connection.send_and_get_reply(message_bus.RequestName(NAME)).body
    _say({"owner": owner})
    try:
        Service(connection, values.capabilities, values.press).run()
    except (ConnectionError, EOFError, OSError):
        return


if __name__ == "__main__":
    main()
