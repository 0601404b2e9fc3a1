"""What is said where no window can open: before Qt aborts, and with the way out."""

from __future__ import annotations

import re
import sys
from typing import TYPE_CHECKING

import pytest

from launch import OPTIONS_WITH_VALUE, opens_window
from screen import WAYLAND, WIDGETS, XCB, how_to_install, missing_libraries
from tubcare.cli.arguments import parse

if TYPE_CHECKING:
    from tests.packaging.conftest import Checkout

on_linux = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="Windows and macOS bring their displays"
)
INSTEAD = " This week's list in the terminal instead:"


@on_linux
def test_without_a_display_one_line_says_so_and_the_week_is_printed(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    code, said = checkout.run("start.py")
    assert code == 0
    assert said.splitlines() == [
        "There is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set)." + INSTEAD,
        "tubcare runs with ['week']",
    ]


@on_linux
def test_a_display_that_does_not_answer_is_named(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    code, said = checkout.run("start.py", "--logbook", "club.db", DISPLAY=":987")
    assert code == 0
    assert said.splitlines() == [
        "The display :987 does not answer." + INSTEAD,
        "tubcare runs with ['--logbook', 'club.db', 'week']",
    ]


@on_linux
def test_a_missing_library_is_named_before_the_program_starts(checkout: Checkout) -> None:
    code, said = checkout.run(
        "start.py", QT_QPA_PLATFORM="xcb", TUBCARE_PRETEND_MISSING="libxcb-cursor.so.0"
    )
    assert code == 1
    assert "libxcb-cursor.so.0" in said
    assert "install" in said
    assert "tubcare runs" not in said


@on_linux
def test_a_command_in_the_terminal_asks_for_no_library(checkout: Checkout) -> None:
    code, _ = checkout.run("start.py", "week", TUBCARE_PRETEND_MISSING="libEGL.so.1")
    assert code == 0


@on_linux
def test_the_tests_ask_for_the_libraries_too(checkout: Checkout) -> None:
    code, said = checkout.run("check.py", TUBCARE_PRETEND_MISSING="libEGL.so.1")
    assert code == 1
    assert "libEGL.so.1" in said


@pytest.mark.parametrize(
    ("arguments", "opens"),
    [
        ([], True),
        (["--demo"], True),
        (["--logbook", "club.db"], True),
        (["--logbook=club.db", "--demo"], True),
        (["--logbook", "club.db", "week"], False),
        (["done", "filter"], False),
        (["--version"], False),
        (["-h"], False),
    ],
)
def test_only_a_start_without_a_command_opens_the_window(
    arguments: list[str], opens: bool
) -> None:
    assert opens_window(arguments) is opens


def test_the_options_that_take_a_value_are_those_of_the_program(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        parse(["--help"])
    listed = re.findall(r"^  (--[a-z]+) [A-Z]", capsys.readouterr().out, re.MULTILINE)
    assert set(listed) == set(OPTIONS_WITH_VALUE)


@on_linux
def test_either_display_will_do_where_there_are_two() -> None:
    both = {"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"}
    no_wayland = {library.soname for library in WAYLAND}
    assert missing_libraries(both, lambda name: name not in no_wayland) == ()


@on_linux
def test_all_that_is_missing_is_told_at_once() -> None:
    assert missing_libraries({"DISPLAY": ":0"}, lambda _: False) == WIDGETS + XCB


@pytest.mark.parametrize(
    ("manager", "line"),
    [
        ("apt-get", "apt-get install libxcb-cursor0"),
        ("dnf", "dnf install xcb-util-cursor"),
        ("pacman", "pacman -S xcb-util-cursor"),
    ],
)
def test_the_installing_line_is_the_systems_own(manager: str, line: str) -> None:
    cursor = [library for library in XCB if "cursor" in library.soname]
    assert how_to_install(cursor, lambda command: command == manager).endswith(line)


def test_a_system_without_a_known_package_manager_still_gets_the_names() -> None:
    told = how_to_install(XCB[:2], lambda _: False)
    assert "libxkbcommon-x11.so.0, libxcb-cursor.so.0" in told
