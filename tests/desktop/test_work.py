"""Background work: where it runs, where its result arrives, how it ends."""

from __future__ import annotations

import threading
from functools import partial
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QObject, QTimer, Slot
from shiboken6 import isValid

from tubcare.desktop.work import Fault, Progress, Ticket, Work

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot


pytestmark = pytest.mark.usefixtures("qtbot")


@pytest.fixture
def work() -> Iterator[Work]:
    made = Work()
    yield made
    made.close()


def numbered(place: int) -> tuple[int, int]:
    return place, threading.get_ident()


def wait(qtbot: QtBot, work: Work) -> None:
    qtbot.waitUntil(lambda: not work.busy, timeout=5000)


def test_results_arrive_in_the_thread_of_the_window_in_order(qtbot: QtBot, work: Work) -> None:
    here = threading.get_ident()
    seen: list[tuple[int, int, int]] = []
    for place in range(20):
        work.on_logbook(
            partial(numbered, place),
            done=lambda pair: seen.append((*pair, threading.get_ident())),
        )
    wait(qtbot, work)
    assert [place for place, _, _ in seen] == list(range(20))
    workers = {worker for _, worker, _ in seen}
    assert len(workers) == 1
    assert here not in workers
    assert {arrived for _, _, arrived in seen} == {here}


def test_long_work_does_not_hold_up_the_logbook(qtbot: QtBot, work: Work) -> None:
    go_on = threading.Event()
    seen: list[str] = []

    def long(ticket: Ticket) -> str:
        assert go_on.wait(5)
        ticket.report(1.0)
        return "long"

    work.elsewhere(long, done=seen.append, title="Export")
    work.on_logbook(lambda: "short", done=seen.append)
    qtbot.waitUntil(lambda: seen == ["short"])
    go_on.set()
    wait(qtbot, work)
    assert seen == ["short", "long"]


def test_an_error_goes_to_whoever_asked_or_else_to_the_window(qtbot: QtBot, work: Work) -> None:
    seen: list[BaseException] = []

    def broken() -> None:
        raise ValueError("no pump")

    work.on_logbook(broken, done=lambda _: None, failed=seen.append)
    wait(qtbot, work)
    assert str(seen[0]) == "no pump"
    with qtbot.waitSignal(work.faulted, check_params_cb=is_about_pump):
        work.on_logbook(broken, done=lambda _: None, title="Reading the pump")


def is_about_pump(fault: Fault) -> bool:
    return fault.title == "Reading the pump" and str(fault.error) == "no pump"


def test_the_newest_question_replaces_the_older_ones(qtbot: QtBot, work: Work) -> None:
    go_on = threading.Event()
    seen: list[int] = []
    work.on_logbook(lambda: go_on.wait(5), done=lambda _: None)
    for place in range(5):
        work.on_logbook(partial(int, place), done=seen.append, replaces="list")
    go_on.set()
    wait(qtbot, work)
    assert seen == [4]


class Widgetish(QObject):
    seen = 0

    @Slot(object)
    def show(self, _result: object) -> None:
        Widgetish.seen += 1


def test_nothing_is_delivered_to_a_widget_that_is_gone(qtbot: QtBot, work: Work) -> None:
    go_on = threading.Event()
    widget = Widgetish()
    work.on_logbook(lambda: go_on.wait(5), done=widget.show)
    widget.deleteLater()
    qtbot.waitUntil(lambda: not isValid(widget), timeout=2000)
    go_on.set()
    wait(qtbot, work)
    assert Widgetish.seen == 0


def test_long_work_tells_its_progress_and_stops_when_asked(qtbot: QtBot, work: Work) -> None:
    seen: list[Progress] = []
    done: list[str] = []
    work.progressed.connect(seen.append)
    started = threading.Event()

    def long(ticket: Ticket) -> str:
        for step in range(1_000_000):
            ticket.report(step / 1_000_000, f"{step} rows")
            started.set()
        return "whole"

    ticket = work.elsewhere(long, done=done.append, title="Import")
    assert started.wait(5)
    ticket.stop()
    wait(qtbot, work)
    assert done == []
    assert seen[0].text == "0 rows"
    assert seen[0].ticket is ticket


def test_closing_stops_long_work_and_finishes_short_work() -> None:
    work = Work()
    written: list[str] = []
    endless = threading.Event()

    def long(ticket: Ticket) -> None:
        endless.set()
        while True:
            ticket.report(0.5)

    work.elsewhere(long, done=lambda _: None, title="Import")
    assert endless.wait(5)
    for place in range(50):
        work.on_logbook(partial(written.append, str(place)), done=lambda _: None)
    assert work.close(last=lambda: written.append("closed")) == ()
    assert written == [*map(str, range(50)), "closed"]


def test_what_was_cut_off_is_named() -> None:
    work = Work()
    go_on = threading.Event()
    work.on_logbook(lambda: go_on.wait(5), done=lambda _: None, title="Writing the report")
    assert work.close(wait_s=0.05) == ("Writing the report",)
    go_on.set()
    work.close()


def test_the_window_goes_on_while_work_is_under_way(qtbot: QtBot, work: Work) -> None:
    enough = threading.Event()
    beats: list[int] = []
    beat = QTimer()
    beat.setInterval(5)

    def count() -> None:
        beats.append(len(beats))
        if len(beats) == 10:
            enough.set()

    def heavy() -> int:
        total = 0
        while not enough.is_set():
            total += sum(number * number for number in range(10_000))
        return total

    beat.timeout.connect(count)
    beat.start()
    work.on_logbook(heavy, done=lambda _: None)
    wait(qtbot, work)
    beat.stop()
    assert len(beats) >= 10
