"""A plan is drawn in the language of whoever draws it; what a person wrote is never touched."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tubcare.care.plan_card import Step
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.services.plans import accept, add_tub_with_plan, apply_redraw, redraw
from tubcare.services.supplies import supplies
from tubcare.services.task_edits import change_task, draft_of
from tubcare.services.tasks import TaskDetail, task_detail, task_list
from tubcare.services.templates import known_templates
from tubcare.services.tubs import change_profile
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.values import TubProfile
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from tubcare.values import TaskId

NORTH = TubProfile(name="North")
GERMAN = speech_for({}, chosen="de_DE")


@pytest.fixture
def german(desk: Desk) -> Desk:
    """Someone who reads German, at the same logbook."""
    return Desk(desk.store, desk.clock, desk.actor, GERMAN.own)


def task(desk: Desk, title: str) -> TaskId:
    return next(line.id for line in task_list(desk) if line.title == title)


def renamed(desk: Desk, detail: TaskDetail, title: str) -> None:
    card = replace(detail.card, steps=(Step(text="Clean the condenser coil"),))
    draft = replace(draft_of(detail), title=title, card=card)
    change_task(desk, detail.id, draft, revision=detail.revision)


def test_a_german_plan_has_german_titles_rounds_steps_tools_and_supplies(german: Desk) -> None:
    add_tub_with_plan(german, NORTH)
    detail = task_detail(german, task(german, "Filterkartusche wechseln"))
    assert detail.card.why == "Alte Fasern lassen durch, was sie halten sollten."
    assert detail.card.steps[1].text == "Nimm die alte Kartusche heraus und wisch das Gehäuse aus."
    assert (detail.card.tools[-1], detail.supplies[0].name) == ("Eimer", "Filterkartusche")
    assert "Sonntagsrunde" in {line.round_name for line in task_list(german)}


def test_no_text_of_a_german_plan_is_left_in_english(german: Desk) -> None:
    tub = add_tub_with_plan(german, NORTH).tub
    accept(german, tub, {each.key for each in known_templates()})
    plain = {each.title for each in known_templates()}
    steps = {step.text for each in known_templates() for step in each.card.steps}
    found = [task_detail(german, line.id) for line in task_list(german)]
    assert len(found) > 40
    assert not plain & {detail.title for detail in found}
    assert not steps & {step.text for detail in found for step in detail.card.steps}


def test_a_redraw_knows_a_template_by_its_key_in_any_language(desk: Desk, german: Desk) -> None:
    tub = add_tub_with_plan(german, NORTH).tub
    assert redraw(german, tub).changed == ()
    diff = redraw(desk, tub)
    assert (diff.dropped, diff.untouched) == ((), ())
    assert {each.title for each in diff.changed} == {line.title for line in task_list(desk)}


def test_a_plan_can_be_taken_over_in_another_language_with_its_shelf(
    desk: Desk, german: Desk
) -> None:
    tub = add_tub_with_plan(desk, NORTH).tub
    shelf = {each.name for each in supplies(desk)}
    swap = task(desk, "Swap the filter cartridge")
    diff = redraw(german, tub)
    apply_redraw(german, tub, diff.only(keys=(), tasks={each.task_id for each in diff.changed}))
    assert task(german, "Filterkartusche wechseln") == swap
    assert {each.name for each in supplies(german)} == shelf
    assert redraw(german, tub).changed == ()


def test_what_a_person_wrote_is_never_touched(desk: Desk, german: Desk) -> None:
    tub = add_tub_with_plan(desk, NORTH).tub
    # A title and a step that the program has a translation for, yet typed by a person.
    swap = task_detail(desk, task(desk, "Swap the filter cartridge"))
    renamed(desk, swap, "Wash the wood")
    apply_redraw(german, tub, redraw(german, tub))
    change_profile(german, tub, replace(NORTH, people=3))
    kept = task_detail(german, swap.id)
    assert kept.title == "Wash the wood"
    assert kept.card.steps[0].text == "Clean the condenser coil"


def test_the_demo_lives_its_two_seasons_in_german_too() -> None:
    clock = StillClock(noon(2026, 7, 15))
    desk = Desk(open_store(demo_logbook(clock, GERMAN.own), clock.now()), clock, "Aino")
    plain = Desk(open_store(demo_logbook(clock), clock.now()), clock, "Aino")
    german, english = this_week(desk), this_week(plain)
    assert "Wasser messen" in {line.title for line in task_list(desk)}
    assert len(german.open_items) == len(english.open_items)
    assert {each.name for each in supplies(desk)} & {"Chlorgranulat", "Chlorine granules"} == {
        "Chlorgranulat"
    }
    desk.store.close()
    plain.store.close()
