"""The profile of a tub, the plan drawn anew from it, and a further tub."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import audit
from tests.desktop.conftest import said, settle
from tests.desktop.tub_windows import desk_of, logbook_with, tub_screen
from tubcare.care.model import TubState
from tubcare.care.trigger_data import rules_to_data
from tubcare.desktop.tub_screen import TubScreen
from tubcare.services.plans import accept, offered
from tubcare.services.task_edits import TaskDraft, change_task
from tubcare.services.tasks import TaskLine, task_detail, task_list
from tubcare.services.tubs import Tub, tubs
from tubcare.values import Cladding, FilterKind, Liner, MonthDay, Sanitiser, Shape

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

Shown = tuple["Window", TubScreen]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return logbook_with(tmp_path / "a.db", "North", "South")


@pytest.fixture
def shown(qtbot: QtBot, make_window: Callable[..., Window], path: Path) -> Shown:
    window, screen = tub_screen(qtbot, make_window, path)
    window.resize(1280, 1600)
    screen.show_subject("profile")
    settle(qtbot, window)
    return window, screen


def kept(path: Path) -> tuple[tuple[Tub, ...], tuple[TaskLine, ...]]:
    desk = desk_of(path)
    found = tubs(desk), task_list(desk)
    desk.store.close()
    return found


def titles(path: Path, tub: str = "North") -> set[str]:
    return {line.title for line in kept(path)[1] if line.tub_name == tub}


def groups(screen: TubScreen) -> list[str]:
    tree = screen.profile().parts
    found = (tree.topLevelItem(at) for at in range(tree.topLevelItemCount()))
    return [group.text(0) for group in found if group is not None]


def test_the_page_holds_what_every_page_must(shown: Shown) -> None:
    window, _screen = shown
    assert audit(window) == []


def test_every_field_of_the_profile_is_saved_as_it_was_typed(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    form = screen.profile().form
    form.name.setText("Cold barrel")
    form.shape.choose(Shape.CYLINDER)
    form.lengths["length_m"].setText("0.9")
    form.lengths["depth_m"].setText("1.1")
    form.litres.clear()
    form.liner.choose(Liner.WOOD)
    form.cladding.choose(Cladding.SOFTWOOD)
    form.sanitiser.choose(Sanitiser.OZONE)
    form.ozone.setChecked(True)
    form.filter_kind.choose(FilterKind.BAG)
    form.chiller.setText("450")
    form.set_point.setText("4.5")
    form.opens.setText("1 Nov")
    form.closes.setText("31 Mar")
    form.people.setText("12")
    screen.profile().save()
    assert "The profile is kept." in said(qtbot, window)
    found = kept(path)[0][0]
    assert found.name == "Cold barrel"
    profile = found.profile
    # A cylinder of 0.9 m across and 1.1 m deep holds 0.45² · π · 1.1 m³ = 699.8 l, by hand.
    assert profile.volume_l == pytest.approx(699.8, abs=0.05)
    assert (profile.liner, profile.has_ozone, profile.people) == (Liner.WOOD, True, 12)
    assert (profile.season_opens, profile.season_closes) == (
        MonthDay(month=11, day=1),
        MonthDay(month=3, day=31),
    )


def test_a_profile_that_is_saved_unchanged_stays_the_same(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    before = kept(path)[0][0].profile
    screen.profile().save()
    assert "The profile is kept." in said(qtbot, window)
    assert kept(path)[0][0].profile == before


def test_a_name_that_another_tub_has_is_refused_beside_the_field(
    qtbot: QtBot, shown: Shown
) -> None:
    _window, screen = shown
    screen.profile().form.name.setText("South")
    screen.profile().save()
    qtbot.waitUntil(lambda: "named “South” already" in screen.profile().form.error_of("name"))
    assert screen.profile().form.name.text() == "South"


def test_litres_that_the_dimensions_cannot_hold_are_refused(shown: Shown) -> None:
    _window, screen = shown
    form = screen.profile().form
    for name, text in (("length_m", "2"), ("width_m", "1"), ("depth_m", "1")):
        form.lengths[name].setText(text)
    form.litres.setText("20")
    screen.profile().save()
    assert "does not fit the dimensions" in form.error_of("volume_l")


def test_a_changed_profile_shows_what_the_plan_would_become_and_nothing_happens_by_itself(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    before = titles(path)
    screen.profile().form.sanitiser.choose(Sanitiser.FREQUENT_CHANGE)
    screen.profile().save()
    assert "parts of the plan would change" in said(qtbot, window)
    assert groups(screen)[0].startswith("New for this tub")
    assert any(group.startswith("No longer called for") for group in groups(screen))
    assert titles(path) == before
    assert audit(window) == []


def test_only_the_ticked_parts_are_taken_over_and_undo_brings_the_plan_back(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    before = titles(path)
    screen.profile().form.sanitiser.choose(Sanitiser.FREQUENT_CHANGE)
    screen.profile().save()
    assert "would change" in said(qtbot, window)
    parts = screen.profile().parts
    test = next(line.id for line in kept(path)[1] if line.title == "Test the water")
    parts.tick(test, wanted=False)
    screen.profile().apply()
    assert "taken over" in said(qtbot, window)
    assert "Test the water" in titles(path)
    assert titles(path) != before
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert titles(path) == before


def test_an_offered_task_is_taken_into_the_plan(qtbot: QtBot, shown: Shown, path: Path) -> None:
    window, screen = shown
    assert not screen.profile().apply_action.isEnabled()
    screen.profile().parts.tick("lid.gasket")
    assert screen.profile().apply_action.isEnabled()
    screen.profile().apply()
    assert "1 part of the plan is taken over." in said(qtbot, window)
    assert "Clean the lid and its gasket" in titles(path)
    assert "Clean the lid and its gasket" not in titles(path, "South")


def test_what_is_being_typed_stays_when_something_else_changes(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    screen.profile().form.name.setText("Half typed")
    screen.dip_action.trigger()
    assert "One dip" in said(qtbot, window)
    assert screen.profile().form.name.text() == "Half typed"


def test_a_further_tub_gets_its_profile_and_its_own_plan(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    screen.add_tub_action.trigger()
    new = screen.new_tub
    assert new.form.zone.text() == "Europe/Helsinki"
    new.form.name.setText("Barrel")
    new.state.choose(TubState.CLOSED)
    QTest.keyClick(new.form.name, Qt.Key.Key_Return)
    assert new.pages.currentIndex() == 1
    assert audit(window) == []
    new.add_action.trigger()
    assert "The tub is added" in said(qtbot, window)
    barrel = next(tub for tub in kept(path)[0] if tub.name == "Barrel")
    assert barrel.state is TubState.CLOSED
    assert screen.choice.currentText() == "Barrel"
    assert {"Test the water", "Swap the filter cartridge"} <= set(titles(path, "Barrel"))


def test_leaving_the_further_tub_adds_nothing(qtbot: QtBot, shown: Shown, path: Path) -> None:
    window, screen = shown
    screen.add_tub_action.trigger()
    screen.new_tub.leave_action.trigger()
    settle(qtbot, window)
    assert len(kept(path)[0]) == 2
    assert screen.tabs.isVisible()


def test_a_task_that_was_changed_by_hand_is_listed_without_a_box_and_stays(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path
) -> None:
    desk = desk_of(path)
    swap = next(line for line in task_list(desk) if line.title == "Swap the filter cartridge")
    detail = task_detail(desk, swap.id)
    draft = TaskDraft(
        tub=detail.tub,
        title="Swap the blue cartridge",
        category=detail.category,
        rules=rules_to_data(detail.task),
        starts_on=detail.task.starts_on,
        card=detail.card,
    )
    change_task(desk, swap.id, draft, revision=1)
    desk.store.close()
    window, screen = tub_screen(qtbot, make_window, path)
    screen.show_subject("profile")
    settle(qtbot, window)
    assert "Changed by you: left as it is (1)" in groups(screen)
    screen.profile().form.filter_kind.choose(FilterKind.NONE)
    screen.profile().save()
    assert "would change" in said(qtbot, window)
    screen.profile().apply()
    assert "taken over" in said(qtbot, window)
    assert "Swap the blue cartridge" in titles(path)


def test_a_changed_task_tells_its_old_and_its_new_rule(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    screen.profile().form.litres.setText("800")
    screen.profile().save()
    assert "would change" in said(qtbot, window)
    tree = screen.profile().parts
    assert groups(screen)[0] == "Changed (1)"
    (changed,) = tree.findItems("Change the water", Qt.MatchFlag.MatchRecursive)
    before, after = changed.text(1).split("becomes")
    # A quarter of a dip for each litre: 100 dips for 400 l, 200 for 800 l.
    assert "100 dips" in before
    assert "200 dips" in after


def test_what_fits_only_later_in_the_season_is_offered_apart(shown: Shown) -> None:
    _window, screen = shown
    names = [group.split(" (")[0] for group in groups(screen)]
    assert names == ["On offer", "On offer later, with the season"]
    tree = screen.profile().parts
    (visit,) = tree.findItems("Visit the closed tub", Qt.MatchFlag.MatchRecursive)
    # Six weeks before the planned closing of 31 October (a choice of the plan, not of a source).
    assert "fits from Sat 19 Sept" in visit.text(1)


def test_a_plan_that_holds_everything_says_so(qtbot: QtBot, shown: Shown, path: Path) -> None:
    window, screen = shown
    desk = desk_of(path)
    tub = tubs(desk)[0].id
    accept(desk, tub, {each.template_key for each in offered(desk, tub)})
    desk.store.close()
    screen.refresh()
    settle(qtbot, window)
    assert "holds every task that fits" in screen.profile().told.text()
    assert not screen.profile().apply_action.isEnabled()
