"""Look, before Qt does, whether a window can open here: Qt would abort without a word of help."""

from __future__ import annotations

import ctypes
import os
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """A shared library that Qt needs from the system, and who packages it."""

    soname: str
    apt: str
    dnf: str
    pacman: str


def _library(soname: str, apt: str, dnf: str, pacman: str) -> Library:
    return Library(soname=soname, apt=apt, dnf=dnf, pacman=pacman)


# What the Qt libraries of the PySide6 wheels link against (read with ldd), less what these bring
# themselves. Debian's package names were tried; Fedora's and Arch's are from memory.
WIDGETS: Final = (
    _library("libEGL.so.1", "libegl1", "libglvnd-egl", "libglvnd"),
    _library("libGL.so.1", "libgl1", "libglvnd-glx", "libglvnd"),
    _library("libglib-2.0.so.0", "libglib2.0-0", "glib2", "glib2"),
    _library("libdbus-1.so.3", "libdbus-1-3", "dbus-libs", "dbus"),
    _library("libfontconfig.so.1", "libfontconfig1", "fontconfig", "fontconfig"),
    _library("libxkbcommon.so.0", "libxkbcommon0", "libxkbcommon", "libxkbcommon"),
)
XCB: Final = (
    _library(
        "libxkbcommon-x11.so.0", "libxkbcommon-x11-0", "libxkbcommon-x11", "libxkbcommon-x11"
    ),
    _library("libxcb-cursor.so.0", "libxcb-cursor0", "xcb-util-cursor", "xcb-util-cursor"),
    _library("libxcb-icccm.so.4", "libxcb-icccm4", "xcb-util-wm", "xcb-util-wm"),
    _library("libxcb-keysyms.so.1", "libxcb-keysyms1", "xcb-util-keysyms", "xcb-util-keysyms"),
    _library("libxcb-shape.so.0", "libxcb-shape0", "libxcb", "libxcb"),
    _library("libxcb-image.so.0", "libxcb-image0", "xcb-util-image", "xcb-util-image"),
    _library(
        "libxcb-render-util.so.0",
        "libxcb-render-util0",
        "xcb-util-renderutil",
        "xcb-util-renderutil",
    ),
)
WAYLAND: Final = (
    _library("libwayland-client.so.0", "libwayland-client0", "libwayland-client", "wayland"),
    _library("libwayland-cursor.so.0", "libwayland-cursor0", "libwayland-cursor", "wayland"),
    _library("libwayland-egl.so.1", "libwayland-egl1", "libwayland-egl", "wayland"),
)
# A comma-separated list of sonames to take as missing: to see the message without removing any.
PRETEND_VARIABLE: Final = "TUBCARE_PRETEND_MISSING"


def display_problem(environ: Mapping[str, str]) -> str | None:
    """Say in one line why no window can be shown on this system, or return None."""
    if not sys.platform.startswith("linux") or environ.get("QT_QPA_PLATFORM"):
        return None
    wayland, x11 = environ.get("WAYLAND_DISPLAY"), environ.get("DISPLAY")
    if not wayland and not x11:
        return "There is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set)."
    if wayland and _wayland_socket(environ, wayland).exists():
        return None
    if x11 and _x11_answers():
        return None
    return f"The display {x11 or wayland} does not answer."


def _wayland_socket(environ: Mapping[str, str], name: str) -> Path:
    return Path(environ.get("XDG_RUNTIME_DIR", "/")) / name


def _x11_answers() -> bool:
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # cannot be asked; the missing library is told next
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    answers: bool = xcb.xcb_connection_has_error(connection) == 0
    xcb.xcb_disconnect(connection)
    return answers


def missing_libraries(
    environ: Mapping[str, str], loads: Callable[[str], bool] | None = None
) -> tuple[Library, ...]:
    """List the system libraries that the window needs and that do not load."""
    if not sys.platform.startswith("linux"):
        return ()
    pretended = environ.get(PRETEND_VARIABLE, "").split(",")
    can_load = loads or _loads

    def missing(libraries: Iterable[Library]) -> tuple[Library, ...]:
        return tuple(
            library
            for library in libraries
            if library.soname in pretended or not can_load(library.soname)
        )

    # Qt falls back from one to the other where both displays are there: either will do.
    chosen = environ.get("QT_QPA_PLATFORM", "")
    offered = []
    if "wayland" in chosen or (not chosen and environ.get("WAYLAND_DISPLAY")):
        offered.append(missing(WAYLAND))
    if "xcb" in chosen or (not chosen and environ.get("DISPLAY")):
        offered.append(missing(XCB))
    return missing(WIDGETS) + min(offered, key=len, default=())


def _loads(soname: str) -> bool:
    try:
        ctypes.CDLL(soname)
    except OSError:
        return False
    return True


def how_to_install(
    libraries: Iterable[Library], has_command: Callable[[str], bool] | None = None
) -> str:
    """Name the missing libraries and the line that installs them on this system."""
    libraries = tuple(libraries)
    names = ", ".join(library.soname for library in libraries)
    found = has_command or (lambda command: shutil.which(command) is not None)
    told = f"The window needs system libraries that are missing: {names}."
    if found("apt-get"):
        line, packages = "apt-get install", [library.apt for library in libraries]
    elif found("dnf"):
        line, packages = "dnf install", [library.dnf for library in libraries]
    elif found("pacman"):
        line, packages = "pacman -S", [library.pacman for library in libraries]
    else:
        return f"{told} Install them with the system's package manager."
    sudo = "" if hasattr(os, "geteuid") and os.geteuid() == 0 else "sudo "
    return f"{told} Install them with:\n  {sudo}{line} {' '.join(dict.fromkeys(packages))}"
