"""The editor of a task: rules of each kind, the next dates while typing, faults beside them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tubcare.care.model import InspectionResult, Interval, Period, Scope
from tubcare.care.plan_card import FollowUp, Need
from tubcare.desktop.tasks_calendar_rule import CalendarFields
from tubcare.desktop.tasks_rule_kinds import (
    ElapsedFields,
    OnceFields,
    ReadingFields,
    SeasonFields,
    UseFields,
)
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.ledger.categories import SpendCategory
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.supplies import new_supply
from tubcare.services.task_edits import change_task, draft_of
from tubcare.services.tasks import TaskDetail, task_detail, task_list
from tubcare.values import TubProfile

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.tasks_editor import TaskEditor
    from tubcare.desktop.tasks_editor_fields import EditorFields

CONTROL = Qt.KeyboardModifier.ControlModifier
SWAP = "Swap the filter cartridge"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    desk = new_desk(tmp_path / "a.db")
    add_tub_with_plan(desk, TubProfile(name="North", zone="UTC"))
    new_supply(desk, name="Soap", unit="ml", category=SpendCategory.OTHER)
    desk.store.close()
    return tmp_path / "a.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


def tasks(qtbot: QtBot, window: Window) -> TasksScreen:
    window.go("tasks")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    qtbot.waitUntil(lambda: screen.model.rowCount() > 0)
    settle(qtbot, window)
    return screen


def new_task(qtbot: QtBot, window: Window) -> TaskEditor:
    screen = tasks(qtbot, window)
    QTest.keyClick(screen.table, Qt.Key.Key_N, CONTROL)
    return ready(qtbot, window, screen)


def change(qtbot: QtBot, window: Window, letters: str) -> TaskEditor:
    screen = tasks(qtbot, window)
    QTest.keyClicks(screen.table, letters)
    settle(qtbot, window)
    QTest.keyClick(screen.table, Qt.Key.Key_F2)
    return ready(qtbot, window, screen)


def ready(qtbot: QtBot, window: Window, screen: TasksScreen) -> TaskEditor:
    settle(qtbot, window)
    assert screen.editor is not None
    assert screen.editor.fields is not None
    return screen.editor


def fields_of(editor: TaskEditor) -> EditorFields:
    assert editor.fields is not None
    return editor.fields


def kept(path: Path, title: str) -> TaskDetail:
    desk = desk_on(path)
    task = next(line.id for line in task_list(desk) if line.title == title)
    found = task_detail(desk, task)
    desk.store.close()
    return found


def titles(path: Path) -> set[str]:
    desk = desk_on(path)
    found = {line.title for line in task_list(desk)}
    desk.store.close()
    return found


def keep(qtbot: QtBot, window: Window, editor: TaskEditor) -> None:
    QTest.keyClick(editor, Qt.Key.Key_S, CONTROL)
    qtbot.waitUntil(lambda: "Kept" in window.strip.text)


def test_a_new_task_is_written_kept_and_chosen(qtbot: QtBot, window: Window, path: Path) -> None:
    editor = new_task(qtbot, window)
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert "\n".join(audit(window)) == ""
    QTest.keyClicks(fields_of(editor).form.title_entry, "Rinse the mat")
    fields_of(editor).form.scope.choose(Scope.IN_SEASON)
    fields_of(editor).usual.who.setCurrentText("Ben")
    fields_of(editor).usual.minutes.setText("10")
    fields_of(editor).usual.lead.setText("2")
    fields_of(editor).usual.reminds.setChecked(False)
    fields_of(editor).usual.needs.boxes[Need.TUB_EMPTY].setChecked(True)
    fields_of(editor).usual.tools.setText("hose, brush")
    QTest.mouseClick(fields_of(editor).usual.supplies.add_button, Qt.MouseButton.LeftButton)
    (row,) = fields_of(editor).usual.supplies.rows
    row.supply.setCurrentText("Soap")
    row.amount.setText("50")
    for text, wait in (("Brush", "2"), ("Rinse", "")):
        QTest.mouseClick(fields_of(editor).steps.add_button, Qt.MouseButton.LeftButton)
        fields_of(editor).steps.rows[-1].text.setText(text)
        fields_of(editor).steps.rows[-1].wait.setText(wait)
    keep(qtbot, window, editor)
    detail = kept(path, "Rinse the mat")
    assert (detail.task.scope, detail.minutes, detail.task.lead_days) == (Scope.IN_SEASON, 10, 2)
    assert (detail.card.needs, detail.card.tools) == ((Need.TUB_EMPTY,), ("hose", "brush"))
    assert (detail.card.who, detail.reminds, detail.own) == ("Ben", False, True)
    assert [(s.text, s.wait_after_h) for s in detail.card.steps] == [("Brush", 2), ("Rinse", 0)]
    assert [(s.name, s.quantity_milli) for s in detail.supplies] == [("Soap", 50_000)]


def test_the_next_five_dates_follow_while_the_interval_is_typed(
    qtbot: QtBot, window: Window
) -> None:
    editor = new_task(qtbot, window)
    fields = fields_of(editor).rules.rows[0].fields
    assert isinstance(fields, ElapsedFields)
    fields.every.selectAll()
    QTest.keyClicks(fields.every, "10")
    settle(qtbot, window)
    assert "every 10 days" in editor.preview.sentence.text()
    shown = editor.preview.shown
    assert len(shown) == 5
    assert "16 May" in shown[0]
    assert "26 May" in shown[1]


def test_a_calendar_rule_is_chosen_in_plain_words(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    editor = new_task(qtbot, window)
    fields_of(editor).form.title_entry.setText("Walk around the tub")
    fields_of(editor).rules.rows[0].kind.setCurrentText("On set dates")
    fields = fields_of(editor).rules.rows[0].fields
    assert isinstance(fields, CalendarFields)
    fields.by_day.choose(True)
    fields.nth.choose(1)
    fields.weekday.choose(5)
    settle(qtbot, window)
    assert "on the first Saturday of every month" in editor.preview.sentence.text()
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert "\n".join(audit(window)) == ""
    keep(qtbot, window, editor)
    (trigger,) = kept(path, "Walk around the tub").task.triggers
    assert getattr(trigger, "rule", "") == "FREQ=MONTHLY;BYDAY=1SA"


def test_a_rule_written_out_names_the_part_that_cannot_be_used(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    editor = new_task(qtbot, window)
    fields_of(editor).form.title_entry.setText("Walk")
    row = fields_of(editor).rules.rows[0]
    row.kind.setCurrentText("On set dates")
    fields = row.fields
    assert isinstance(fields, CalendarFields)
    fields.period.choose(None)
    fields.rule.setText("FREQ=MONTHLY;BYMONTHDAY=40")
    settle(qtbot, window)
    assert "BYMONTHDAY" in row.fault.text()
    assert "whole numbers from -31 to 31" in row.fault.text()
    assert editor.preview.shown == ()
    QTest.keyClick(editor, Qt.Key.Key_S, CONTROL)
    settle(qtbot, window)
    assert "Walk" not in titles(path)
    fields.rule.setText("FREQ=MONTHLY;BYMONTHDAY=1,15;COUNT=3")
    settle(qtbot, window)
    assert row.fault.text() == ""
    assert len(editor.preview.shown) == 3


def test_several_rules_of_every_kind_are_kept_and_come_back(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    editor = new_task(qtbot, window)
    fields_of(editor).form.title_entry.setText("Everything at once")
    for kind in ("After so much use", "With the season", "When a reading asks", "On one date"):
        QTest.mouseClick(fields_of(editor).rules.add_button, Qt.MouseButton.LeftButton)
        fields_of(editor).rules.rows[-1].kind.setCurrentText(kind)
    QTest.mouseClick(fields_of(editor).rules.add_button, Qt.MouseButton.LeftButton)
    fields_of(editor).rules.rows[-1].kind.setCurrentText("On set dates")
    settle(qtbot, window)
    told = editor.preview.sentence.text()
    for part in (
        "every 30 days",
        "after 40 dips",
        "7 days before closing",
        "pH is outside the range",
        "once, on 6 May 2026",
        "whichever comes first",
    ):
        assert part in told
    keep(qtbot, window, editor)
    settle(qtbot, window)
    again = change(qtbot, window, "everything")
    kinds = [type(row.fields) for row in fields_of(again).rules.rows]
    assert kinds == [
        ElapsedFields,
        UseFields,
        SeasonFields,
        ReadingFields,
        OnceFields,
        CalendarFields,
    ]
    assert [row.read()["kind"] for row in fields_of(again).rules.rows] == [
        "elapsed",
        "use",
        "season",
        "reading",
        "once",
        "calendar",
    ]
    assert len(kept(path, "Everything at once").task.triggers) == 6


def test_a_reading_condition_and_a_frost_risk_are_read_as_written(
    qtbot: QtBot, window: Window
) -> None:
    editor = new_task(qtbot, window)
    row = fields_of(editor).rules.rows[0]
    row.kind.setCurrentText("When a reading asks")
    reading = row.fields
    assert isinstance(reading, ReadingFields)
    reading.quantity.choose("flow_l_min")
    reading.comparison.setCurrentText("below")
    reading.limit.setText("8")
    assert row.read() == {"kind": "reading", "when": "flow_l_min < 8"}
    row.kind.setCurrentText("With the season")
    season = row.fields
    assert isinstance(season, SeasonFields)
    season.edge.setCurrentIndex(3)
    season.risk.setText("20")
    assert row.read()["risk_percent"] == 20
    settle(qtbot, window)


def test_a_template_task_becomes_ones_own_when_it_is_changed(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    before = kept(path, SWAP)
    editor = change(qtbot, window, "swap")
    assert editor.hint.isVisible()
    fields = fields_of(editor).rules.rows[0].fields
    assert isinstance(fields, ElapsedFields)
    fields.every.setText("45")
    keep(qtbot, window, editor)
    after = kept(path, SWAP)
    assert (before.own, after.own) == (False, True)
    assert after.card == before.card
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Taken back" in window.strip.text)
    assert kept(path, SWAP) == before


def test_an_empty_title_is_told_beside_it_and_escape_leaves_all_as_it_was(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    before = kept(path, SWAP)
    editor = change(qtbot, window, "swap")
    fields_of(editor).form.title_entry.clear()
    QTest.keyClick(editor, Qt.Key.Key_S, CONTROL)
    assert fields_of(editor).form.error_of("title")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    QTest.keyClick(fields_of(editor).form.title_entry, Qt.Key.Key_Escape)
    assert screen.editor is None
    assert kept(path, SWAP) == before


def test_somebody_elses_change_is_told_and_not_overwritten(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    editor = change(qtbot, window, "swap")
    desk = desk_on(path, "Ben")
    task = next(line.id for line in task_list(desk) if line.title == SWAP)
    detail = task_detail(desk, task)
    change_task(desk, task, replace(draft_of(detail), usual_minor=999), revision=detail.revision)
    desk.store.close()
    fields_of(editor).form.title_entry.setText("Mine")
    QTest.keyClick(editor, Qt.Key.Key_S, CONTROL)
    qtbot.waitUntil(editor.message.isVisible)
    assert "somebody else changed" in editor.message.text()
    assert kept(path, SWAP).usual_minor == 999


def test_steps_move_up_and_keep_their_cautions(qtbot: QtBot, window: Window, path: Path) -> None:
    editor = change(qtbot, window, "swap")
    before = kept(path, SWAP).card.steps
    QTest.mouseClick(fields_of(editor).steps.rows[1].up_button, Qt.MouseButton.LeftButton)
    keep(qtbot, window, editor)
    assert kept(path, SWAP).card.steps[:2] == (before[1], before[0])


def test_what_an_inspection_finds_can_change_the_interval_and_add_a_task(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    editor = new_task(qtbot, window)
    fields_of(editor).form.title_entry.setText("Look over the hoses")
    inspection = fields_of(editor).inspection
    inspection.intervals[InspectionResult.GOOD].every.setText("60")
    inspection.follow_ups[InspectionResult.BAD].title.setText("Change the hose")
    inspection.follow_ups[InspectionResult.BAD].days.setText("3")
    keep(qtbot, window, editor)
    detail = kept(path, "Look over the hoses")
    assert detail.task.result_intervals == {
        InspectionResult.GOOD: Interval(count=60, period=Period.DAY)
    }
    assert detail.card.follow_ups == (
        FollowUp(result=InspectionResult.BAD, title="Change the hose", within_days=3),
    )
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    qtbot.waitUntil(lambda: "adds “Change the hose”" in screen.page.inspection.text())


def test_keeping_a_template_task_as_it_is_leaves_it_to_the_plan(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    desk = desk_on(path)
    every = [task_detail(desk, line.id) for line in task_list(desk)]
    desk.store.close()
    changed = []
    for before in every[:6]:
        screen = tasks(qtbot, window)
        screen.table.choose(before.id)
        QTest.keyClick(screen.table, Qt.Key.Key_F2)
        editor = ready(qtbot, window, screen)
        fields = fields_of(editor)
        draft = fields.draft()
        assert draft is not None
        was = draft_of(before)
        if (draft.card, draft.supplies) != (was.card, was.supplies):
            changed.append((draft, was))
        keep(qtbot, window, editor)
        settle(qtbot, window)
    assert changed == []
    assert not any(kept(path, before.title).own for before in every[:6])
