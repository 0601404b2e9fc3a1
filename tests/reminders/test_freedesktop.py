"""Notifications on a real session bus, with a service as strict as real ones."""

from __future__ import annotations

import select
import sys
from typing import TYPE_CHECKING

import pytest

from tests.reminders.buses import bus_is_installed, notification_service, session_bus
from tests.reminders.plain_words import PlainWords
from tests.reminders.screens import Death, KilledError, Screen
from tests.reminders.times import FRIDAY, SATURDAY, at, looked, once, tick
from tubcare.desktop.wakeups import AnswerWatch
from tubcare.reminders.freedesktop import Button, DesktopBus, Pressed
from tubcare.reminders.notifiers import Answered, Everywhere, Press, desktop_notes
from tubcare.reminders.post import Post
from tubcare.reminders.session import OnScreen, SessionFile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tests.support.clocks import StillClock
    from tubcare.reminders.notes import Note
    from tubcare.reminders.notifiers import DesktopNotes
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

pytestmark = [
    pytest.mark.skipif(sys.platform != "linux", reason="the specification is for Linux"),
    pytest.mark.skipif(not bus_is_installed(), reason="needs the package dbus"),
]
BUTTONS = [Button(key="tick_off", label="Tick off"), Button(key="tomorrow", label="Tomorrow")]


@pytest.fixture
def bus(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        yield address


def presses(desktop: DesktopBus) -> tuple[Pressed, ...]:
    """Wait for the next presses, as an event loop does."""
    found = desktop.pressed()
    while not found:
        assert select.select([desktop], [], [], 10)[0], "nothing came back"
        found = desktop.pressed()
    return found


def test_a_note_goes_out_as_the_specification_wants_it(bus: str) -> None:
    with notification_service(bus) as service:
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare")
        desktop.show("a", "Swap the filter", "31 days since 12 May", BUTTONS, is_urgent=True)
        (body,) = service.calls("Notify")
        assert body[:6] == [
            "tubcare",
            0,
            "org.tubcare.Tubcare",
            "Swap the filter",
            "31 days since 12 May",
            ["tick_off", "Tick off", "tomorrow", "Tomorrow"],
        ]
        assert body[6] == {"desktop-entry": ["s", "org.tubcare.Tubcare"], "urgency": ["y", 2]}
        assert body[7] == -1
        desktop.disconnect()


def test_the_same_tag_replaces_and_another_does_not(bus: str) -> None:
    with notification_service(bus) as service:
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare")
        for tag in ("a", "b", "a"):
            desktop.show(tag, "title", "body")
        assert [body[1] for body in service.calls("Notify", 3)] == [0, 0, 1]
        desktop.disconnect()


def test_buttons_come_back_with_their_tag_also_while_a_call_waits(bus: str) -> None:
    with notification_service(bus, "--press", "tomorrow"):
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare")
        desktop.show("a", "title", "body", BUTTONS)
        assert presses(desktop) == (Pressed(tag="a", key="tomorrow"),)
        # The press of "b" is read while "c" waits for its number.
        desktop.show("b", "title", "body", BUTTONS)
        desktop.show("c", "title", "body", BUTTONS)
        found = presses(desktop)
        while len(found) < 2:
            found += presses(desktop)
        assert found == (Pressed(tag="b", key="tomorrow"), Pressed(tag="c", key="tomorrow"))
        desktop.disconnect()


def test_closing_takes_it_away_and_closing_twice_is_no_error(bus: str) -> None:
    with notification_service(bus) as service:
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare")
        desktop.show("a", "title", "body")
        desktop.close("a")
        desktop.close("a")
        desktop.show("a", "title", "body")
        assert service.calls("CloseNotification") == [[1]]
        assert [body[1] for body in service.calls("Notify")] == [0]
        desktop.disconnect()


def test_markup_in_a_title_stays_text_where_the_desktop_reads_markup(bus: str) -> None:
    with notification_service(bus, "--capabilities", "body", "body-markup") as service:
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare")
        desktop.show("a", "<b>", "<b>pH</b> & more", BUTTONS)
        (body,) = service.calls("Notify")
        assert body[4] == "&lt;b&gt;pH&lt;/b&gt; &amp; more"
        assert body[5] == []
        desktop.disconnect()


def test_a_program_started_again_still_replaces_and_closes(bus: str, tmp_path: Path) -> None:
    file = SessionFile(tmp_path / "ids.json")
    with notification_service(bus) as service:
        first = DesktopBus("tubcare", "org.tubcare.Tubcare", file)
        first.show("a", "title", "body")
        first.disconnect()
        second = DesktopBus("tubcare", "org.tubcare.Tubcare", file)
        second.show("a", "title", "body")
        second.close("a")
        assert [body[1] for body in service.calls("Notify", 2)] == [0, 1]
        assert service.calls("CloseNotification") == [[1]]
        second.disconnect()


def test_numbers_of_an_earlier_service_are_forgotten(bus: str, tmp_path: Path) -> None:
    file = SessionFile(tmp_path / "ids.json")
    with notification_service(bus) as service:
        desktop = DesktopBus("tubcare", "org.tubcare.Tubcare", file)
        desktop.show("a", "title", "body")
        service.end()
    with notification_service(bus) as service:
        desktop.show("a", "title", "body")
        assert [body[1] for body in service.calls("Notify")] == [0]
        desktop.disconnect()


def notes_on(bus: str, tmp_path: Path) -> DesktopNotes:
    assert bus
    file = SessionFile(tmp_path / "ids.json")
    notes = desktop_notes(PlainWords(), "tubcare", "org.tubcare.Tubcare", file)
    assert notes is not None
    return notes


class Window:
    """The place inside the window, by tag."""

    def __init__(self) -> None:
        self.notes: dict[str, Note] = {}

    def show(self, note: Note) -> None:
        self.notes[note.tag] = note

    def withdraw(self, tag: str) -> None:
        self.notes.pop(tag, None)


class Balloons:
    """The tray, told from afar."""

    def __init__(self) -> None:
        self.shown: list[str] = []

    def show(self, note: Note) -> bool:
        self.shown.append(note.tag)
        return True

    def withdraw(self, tag: str) -> None:
        """Do nothing."""


@pytest.mark.parametrize("press", [Press.TICK_OFF, Press.TOMORROW])
def test_buttons_on_the_desktop_act_on_the_logbook(
    desk: Desk, tub: TubId, clock: StillClock, bus: str, tmp_path: Path, press: Press
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    with notification_service(bus, "--press", press.value):
        notes, window = notes_on(bus, tmp_path), Window()
        post = Post(desk, "Ann", "me", Everywhere(window, [notes]))
        post.look()
        assert len(window.notes) == 1
        (answer,) = next_answers(notes)
        assert answer == Answered(tag=next(iter(window.notes)), press=press)
        keys = post.keys_of(answer.tag)
        if press is Press.TICK_OFF:
            tick(desk, keys[0].task)
        else:
            post.tomorrow(keys)
        post.look()
        assert window.notes == {}
        at(clock, SATURDAY, 8)
        shown = [[key.task for key in note.keys] for note in post.look().shown]
        assert shown == ([] if press is Press.TICK_OFF else [[task]])
        notes.close()


def next_answers(notes: DesktopNotes) -> tuple[Answered, ...]:
    found = notes.answers()
    while not found:
        assert notes.socket is not None
        assert select.select([notes.socket], [], [], 10)[0]
        found = notes.answers()
    return found


def test_a_repeat_after_a_kill_replaces_the_notification(
    desk: Desk, tub: TubId, clock: StillClock, bus: str, tmp_path: Path
) -> None:
    for number in range(3):
        once(desk, tub, FRIDAY, f"Task {number}")
    at(clock, FRIDAY, 9)
    kept = SessionFile(tmp_path / "notes.json")
    with notification_service(bus) as service:
        for number in range(2):
            notes = notes_on(bus, tmp_path)
            dying = Screen(death=Death.BEFORE_MARK if number == 0 else None)

            class Both:
                def __init__(self, notes: DesktopNotes, dying: Screen) -> None:
                    self.notes, self.dying = notes, dying

                def show(self, note: Note) -> None:
                    assert self.notes.show(note)
                    self.dying.show(note)

                def withdraw(self, _tags: object) -> None:
                    """Do nothing."""

            post = Post(desk, "Ann", f"run {number}", Both(notes, dying), OnScreen(kept))
            if number == 0:
                with pytest.raises(KilledError):
                    post.look()
            else:
                assert len(post.look().shown) == 1
            notes.close()
            clock.go(hours=1)
        assert [body[1] for body in service.calls("Notify", 2)] == [0, 1]


def test_a_service_that_dies_leaves_tray_and_window(
    desk: Desk, tub: TubId, clock: StillClock, bus: str, tmp_path: Path
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    with notification_service(bus) as service:
        notes, window, tray = notes_on(bus, tmp_path), Window(), Balloons()
        service.end()
    post = Post(desk, "Ann", "me", Everywhere(window, [notes, tray]))
    (note,) = post.look().shown
    assert (list(window.notes), tray.shown) == ([note.tag], [note.tag])
    with notification_service(bus) as service:
        at(clock, FRIDAY, 17, 30)
        post.look()
        assert len(service.calls("Notify")) == 1
        assert len(tray.shown) == 1
        notes.close()


def test_a_bus_that_dies_is_left_alone(
    desk: Desk, tub: TubId, clock: StillClock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    window, tray = Window(), Balloons()
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        with notification_service(address):
            notes = notes_on(address, tmp_path)
    post = Post(desk, "Ann", "me", Everywhere(window, [notes, tray]))
    (note,) = post.look().shown
    assert (list(window.notes), tray.shown) == ([note.tag], [note.tag])
    assert notes.socket is None
    assert notes.answers() == ()
    notes.close()


def test_the_window_hears_of_a_button_in_its_own_thread(
    desk: Desk, tub: TubId, clock: StillClock, bus: str, tmp_path: Path, qtbot: QtBot
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    with notification_service(bus, "--press", "tomorrow") as service:
        notes = notes_on(bus, tmp_path)
        watch = AnswerWatch(notes)
        post = Post(desk, "Ann", "me", Everywhere(Window(), [notes]))
        with qtbot.waitSignal(watch.answered, timeout=10_000) as heard:
            (note,) = post.look().shown
        assert heard.args == [Answered(tag=note.tag, press=Press.TOMORROW)]
        service.end()
        watch.read()
        watch.stop()
        notes.close()


def test_without_a_bus_there_are_no_desktop_notes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    assert desktop_notes(PlainWords(), "tubcare", "org.tubcare.Tubcare") is None


def test_without_a_service_on_the_bus_there_are_none_either(bus: str) -> None:
    assert bus
    assert desktop_notes(PlainWords(), "tubcare", "org.tubcare.Tubcare") is None


def test_a_damaged_memory_of_the_screen_counts_as_none(
    desk: Desk, tub: TubId, clock: StillClock, tmp_path: Path
) -> None:
    path = tmp_path / "notes.json"
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    for text in ("", "[1]", '{"a": 3, "b": [[1]]}', "\x00"):
        path.write_text(text)
        assert OnScreen(SessionFile(path)).notes == {}
    screen = Screen()
    assert len(looked(Post(desk, "Ann", "me", screen, OnScreen(SessionFile(path))), screen)) == 1
