"""Notifications with buttons on desktops that speak org.freedesktop.Notifications.

The Desktop Notifications Specification 1.2 (freedesktop.org) gives the signatures. jeepney speaks
D-Bus, since Qt's own binding cannot send the unsigned integer that `Notify` wants.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from jeepney import DBusAddress, HeaderFields, MatchRule, MessageType, message_bus, new_method_call
from jeepney.io.blocking import DBusConnection, open_dbus_connection
from jeepney.wrappers import unwrap_msg

if TYPE_CHECKING:
    from jeepney import Message

_ADDRESS = DBusAddress(
    "/org/freedesktop/Notifications",
    bus_name="org.freedesktop.Notifications",
    interface="org.freedesktop.Notifications",
)
TIMEOUT_S = 3.0
NO_BUS_ERRORS = (OSError, KeyError, ValueError)


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    """One button of a notification: what comes back, and what it says."""

    key: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """A button of the notification with this tag was pressed."""

    tag: str
    key: str


class DesktopBus:
    """A connection to the session's notification service.

    Raises
    ------
    OSError, KeyError, ValueError
        When there is no session bus or no service; see `NO_BUS_ERRORS`.
    """

    def __init__(self, app_name: str, desktop_entry: str) -> None:
        self._app_name = app_name
        self._entry = desktop_entry
        self._ids: dict[str, int] = {}
        self._connection: DBusConnection = open_dbus_connection(bus="SESSION")
        self.has_buttons = "actions" in list(self._call("GetCapabilities")[0])
        rule = MatchRule(type="signal", interface=_ADDRESS.interface, path=_ADDRESS.object_path)
        self._connection.send_and_get_reply(message_bus.AddMatch(rule), timeout=TIMEOUT_S)

    def fileno(self) -> int:
        """Return the socket's number, for an event loop to watch."""
        return int(self._connection.sock.fileno())

    def show(self, tag: str, title: str, body: str, buttons: tuple[Button, ...]) -> None:
        """Show a notification; one with the same tag replaces the earlier one."""
        actions = [part for b in buttons for part in (b.key, b.label)] if self.has_buttons else []
        hints = {"desktop-entry": ("s", self._entry), "urgency": ("y", 1)}
        replaces = self._ids.get(tag, 0)
        body_parts = (self._app_name, replaces, self._entry, title, body, actions, hints, -1)
        self._ids[tag] = int(self._call("Notify", "susssasa{sv}i", body_parts)[0])

    def close(self, tag: str) -> None:
        """Take a notification away; one that is gone already is no error."""
        shown = self._ids.pop(tag, None)
        if shown is not None:
            self._call("CloseNotification", "u", (shown,))

    def pressed(self) -> tuple[Pressed, ...]:
        """Return the buttons pressed since the last call, without waiting."""
        found: list[Pressed] = []
        while True:
            try:
                message = self._connection.receive(timeout=0)
            except TimeoutError:
                return tuple(found)
            press = self._as_press(message)
            if press is not None:
                found.append(press)

    def disconnect(self) -> None:
        """Close the connection."""
        self._connection.close()

    def _as_press(self, message: Message) -> Pressed | None:
        if message.header.message_type is not MessageType.signal:
            return None
        if message.header.fields.get(HeaderFields.member) != "ActionInvoked":
            return None
        shown, key = message.body
        for tag, known in self._ids.items():
            if known == shown:
                return Pressed(tag=tag, key=str(key))
        return None

    def _call(
        self, method: str, signature: str | None = None, body: tuple[object, ...] = ()
    ) -> tuple[Any, ...]:
        message = new_method_call(_ADDRESS, method, signature, body)
        reply = self._connection.send_and_get_reply(message, timeout=TIMEOUT_S)
        return tuple(unwrap_msg(reply))
