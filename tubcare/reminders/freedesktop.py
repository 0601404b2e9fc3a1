"""Notifications with buttons on desktops that speak org.freedesktop.Notifications.

The Desktop Notifications Specification 1.2 (freedesktop.org) gives the signatures. jeepney speaks
D-Bus, since Qt's own binding cannot send the unsigned integer that `Notify` wants.
"""

from __future__ import annotations

import html
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from jeepney import (
    DBusAddress,
    DBusErrorResponse,
    HeaderFields,
    MatchRule,
    message_bus,
    new_method_call,
)
from jeepney.io.blocking import DBusConnection, open_dbus_connection
from jeepney.wrappers import unwrap_msg

from tubcare.reminders.session import SessionFile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from jeepney import Message

_NAME = "org.freedesktop.Notifications"
_ADDRESS = DBusAddress("/org/freedesktop/Notifications", bus_name=_NAME, interface=_NAME)
TIMEOUT_S = 3.0
NO_BUS_ERRORS = (OSError, KeyError, ValueError, DBusErrorResponse)
NORMAL, CRITICAL = 1, 2


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

    Parameters
    ----------
    app_name
        Shown by desktops that group notifications.
    desktop_entry
        Name of the installed desktop file without its ending; also names the icon.
    file
        Keeps the service's numbers for our notifications, so that a program started again can
        still replace or close what it showed.

    Raises
    ------
    OSError, KeyError, ValueError, DBusErrorResponse
        When there is no session bus or no service; see `NO_BUS_ERRORS`. So do all methods.
    """

    def __init__(self, app_name: str, desktop_entry: str, file: SessionFile | None = None) -> None:
        self._app_name = app_name
        self._entry = desktop_entry
        self._file = file or SessionFile(None)
        self._signals: deque[Message] = deque()
        self._connection: DBusConnection = open_dbus_connection(bus="SESSION")
        try:
            capabilities = list(self._call("GetCapabilities")[0])
            rule = MatchRule(type="signal", interface=_NAME, path=_ADDRESS.object_path)
            # Signals that come in while a call waits for its answer must not get lost.
            self._connection.filter(rule, queue=self._signals)
            self._on_bus(message_bus.AddMatch(rule))
            self.has_buttons = "actions" in capabilities
            self._has_markup = "body-markup" in capabilities
            self._server = self._server_now()
        except NO_BUS_ERRORS:
            self._connection.close()
            raise
        self._ids = _ids_of(self._file.load(), self._server)

    def fileno(self) -> int:
        """Return the socket's number, for an event loop to watch."""
        return int(self._connection.sock.fileno())

    def show(
        self,
        tag: str,
        title: str,
        body: str,
        buttons: Sequence[Button] = (),
        *,
        is_urgent: bool = False,
    ) -> None:
        """Show a notification; one with the same tag replaces the earlier one."""
        self._meet_server()
        actions = [part for b in buttons for part in (b.key, b.label)] if self.has_buttons else []
        hints = {
            "desktop-entry": ("s", self._entry),
            "urgency": ("y", CRITICAL if is_urgent else NORMAL),
        }
        text = html.escape(body, quote=False) if self._has_markup else body
        replaces = self._ids.get(tag, 0)
        body_parts = (self._app_name, replaces, self._entry, title, text, actions, hints, -1)
        self._ids[tag] = int(self._call("Notify", "susssasa{sv}i", body_parts)[0])
        self._save()

    def close(self, tag: str) -> None:
        """Take a notification away; one that is gone already is no error."""
        self._meet_server()
        shown = self._ids.pop(tag, None)
        if shown is None:
            return
        self._save()
        try:
            self._call("CloseNotification", "u", (shown,))
        except DBusErrorResponse:
            return  # The specification answers an empty error when it is gone.

    def pressed(self) -> tuple[Pressed, ...]:
        """Return the buttons pressed since the last call, without waiting.

        Call it when the socket can be read, and after each `show` or `close`, which may have read
        the news while waiting for their answers.
        """
        while True:
            try:
                self._connection.recv_messages(timeout=0)
            except TimeoutError:
                break
        found: list[Pressed] = []
        while self._signals:
            press = self._taken(self._signals.popleft())
            if press is not None:
                found.append(press)
        return tuple(found)

    def disconnect(self) -> None:
        """Close the connection."""
        self._connection.close()

    def _taken(self, signal: Message) -> Pressed | None:
        fields = signal.header.fields
        if fields.get(HeaderFields.sender) != self._server or len(signal.body) < 2:
            return None
        tag = next((tag for tag, known in self._ids.items() if known == signal.body[0]), None)
        member = fields.get(HeaderFields.member)
        if tag is None:
            return None
        if member == "ActionInvoked":
            return Pressed(tag=tag, key=str(signal.body[1]))
        if member == "NotificationClosed":
            del self._ids[tag]
            self._save()
        return None

    def _meet_server(self) -> None:
        """Forget all numbers when another service took over: they name other notifications now."""
        server = self._server_now()
        if server != self._server:
            self._server = server
            self._ids.clear()

    def _server_now(self) -> str:
        try:
            return str(self._on_bus(message_bus.GetNameOwner(_NAME))[0])
        except DBusErrorResponse:
            # It is started by the next call, if it can be.
            self._call("GetCapabilities")
            return str(self._on_bus(message_bus.GetNameOwner(_NAME))[0])

    def _save(self) -> None:
        self._file.save({"server": self._server, "ids": self._ids})

    def _call(
        self, method: str, signature: str | None = None, body: tuple[object, ...] = ()
    ) -> tuple[Any, ...]:
        return self._on_bus(new_method_call(_ADDRESS, method, signature, body))

    def _on_bus(self, message: Message) -> tuple[Any, ...]:
        reply = self._connection.send_and_get_reply(message, timeout=TIMEOUT_S)
        return tuple(unwrap_msg(reply))


def _ids_of(kept: object, server: str) -> dict[str, int]:
    if not isinstance(kept, dict) or kept.get("server") != server:
        return {}
    ids = kept.get("ids")
    if not isinstance(ids, dict):
        return {}
    return {str(tag): shown for tag, shown in ids.items() if isinstance(shown, int)}
