from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.care.model import Status
from tubcare.errors import InputError
from tubcare.services.history import undo
from tubcare.services.outlook import ahead
from tubcare.services.plans import (
    accept,
    add_tub_with_plan,
    apply_redraw,
    draw_plan,
    offered,
    redraw,
)
from tubcare.services.tasks import TaskDraft, change_task, drop_task, task_detail, task_list
from tubcare.services.templates import caution_texts, fits, known_templates, load_templates
from tubcare.services.tubs import change_profile, tubs
from tubcare.services.week import this_week
from tubcare.values import Cladding, Liner, Sanitiser, TubProfile

if TYPE_CHECKING:
    from pathlib import Path

    from tubcare.services.desk import Desk

TODAY = date(2026, 5, 1)
profiles = st.builds(
    TubProfile,
    name=st.just("Tub"),
    liner=st.sampled_from(Liner),
    cladding=st.sampled_from(Cladding),
    sanitiser=st.sampled_from(Sanitiser),
    has_uv=st.booleans(),
    chiller_w=st.sampled_from([0.0, 500.0]),
    pump_w=st.sampled_from([0.0, 40.0]),
    latitude_deg=st.sampled_from([None, -45.0, 10.0, 61.5]),
)


def keys(profile: TubProfile) -> set[str]:
    return {planned.key for planned in draw_plan(profile, TODAY)}


def test_there_are_at_least_forty_five_templates_with_steps_and_sources() -> None:
    templates = known_templates()
    assert len(templates) >= 45
    for template in templates:
        assert template.card.steps, template.key
        assert all(source.strip() for source in template.card.sources), template.key


def test_every_caution_that_a_template_names_has_a_text() -> None:
    known = set(caution_texts())
    for template in known_templates():
        assert set(template.card.cautions) <= known, template.key


@pytest.mark.parametrize(
    ("words", "caution"),
    [(("unplug", "switch off"), "electricity"), (("granules", "label says"), "chemicals")],
)
def test_steps_that_can_hurt_carry_their_caution(words: tuple[str, ...], caution: str) -> None:
    for template in known_templates():
        text = " ".join(step.text for step in template.card.steps).casefold()
        if any(word in text for word in words):
            assert caution in template.card.cautions, template.key


def test_an_aluminium_liner_brings_closer_watch_of_the_ph_and_its_inspection() -> None:
    plain = keys(TubProfile(name="Tub"))
    aluminium = keys(TubProfile(name="Tub", liner=Liner.ALUMINIUM))
    assert aluminium - plain == {"water.test_aluminium", "liner.aluminium"}


def test_wood_brings_wash_and_reseal_and_winters_bring_the_closing() -> None:
    wood = keys(TubProfile(name="Tub", cladding=Cladding.SOFTWOOD, latitude_deg=61.5))
    assert {"wood.wash", "wood.reseal", "season.close", "season.open"} <= wood
    assert not {"season.close", "season.midwinter"} & keys(
        TubProfile(name="Tub", latitude_deg=10.0)
    )


@given(profile=profiles)
def test_no_plan_starts_late_and_unknown_dates_spread_over_four_weeks(
    profile: TubProfile,
) -> None:
    for planned in draw_plan(profile, TODAY):
        if planned.first_due_on is not None:
            assert TODAY <= planned.first_due_on <= TODAY + timedelta(days=28)


def test_what_was_last_done_on_a_known_day_goes_on_from_there() -> None:
    last = {"filter.swap": date(2026, 4, 20), "water.change": date(2026, 1, 1)}
    planned = {p.key: p for p in draw_plan(TubProfile(name="Tub"), TODAY, last_done=last)}
    assert planned["filter.swap"].first_due_on == date(2026, 5, 20)
    assert planned["water.change"].first_due_on == TODAY


def test_a_new_tub_starts_with_about_a_dozen_tasks_and_none_is_late(desk: Desk) -> None:
    added = add_tub_with_plan(desk, TubProfile(name="North", zone="Europe/Helsinki"))
    assert 10 <= added.tasks <= 20
    week = this_week(desk)
    assert week.late == ()
    assert {i.occurrence.status for i in week.due_today} <= {Status.DUE}
    assert len(offered(desk, added.tub)) > 10


def test_offered_tasks_can_be_taken_and_dropped_ones_stay_away(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    assert accept(desk, tub, {"lid.gasket"}) == 1
    gasket = next(t for t in task_list(desk) if t.title == "Clean the lid and its gasket")
    drop_task(desk, gasket.id)
    assert "lid.gasket" not in {p.key for p in offered(desk, tub)}
    undo(desk)
    assert gasket.id in {t.id for t in task_list(desk)}


def test_redrawing_shows_the_difference_and_leaves_alone_what_a_person_changed(
    desk: Desk,
) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    swap = next(t for t in task_list(desk) if t.title == "Swap the filter cartridge")
    detail = task_detail(desk, swap.id)
    draft = TaskDraft(
        tub=tub,
        title="Swap the big cartridge",
        category=detail.category,
        rules={"triggers": [{"kind": "elapsed", "every": 45, "period": "day"}]},
        starts_on=detail.task.starts_on,
        card=detail.card,
    )
    change_task(desk, swap.id, draft, revision=1)
    profile = next(t.profile for t in tubs(desk) if t.id == tub)
    change_profile(desk, tub, replace(profile, sanitiser=Sanitiser.FREQUENT_CHANGE))
    diff = redraw(desk, tub)
    assert "Swap the big cartridge" in diff.own
    assert "Test the water" in {title for _task, title in diff.dropped}
    assert "water.change_often" in {p.key for p in diff.added}
    apply_redraw(desk, tub, diff)
    titles = {t.title for t in task_list(desk)}
    assert "Swap the big cartridge" in titles
    assert "Test the water" not in titles
    assert redraw(desk, tub).is_empty


def test_the_dates_ahead_come_in_order(desk: Desk) -> None:
    add_tub_with_plan(desk, TubProfile(name="North"))
    dates = [each.due_on for each in ahead(desk, TODAY + timedelta(days=90)).occurrences]
    assert len(dates) > 20
    assert dates == sorted(dates)


def test_an_impossible_rule_is_refused_naming_the_part(desk: Desk) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North")).tub
    some = task_list(desk)[0]
    rule = {"kind": "calendar", "rule": "FREQ=HOURLY", "start": "2026-05-01"}
    draft = TaskDraft(
        tub=tub,
        title="x",
        category=some.category,
        rules={"triggers": [rule]},
        starts_on=TODAY,
    )
    with pytest.raises(InputError, match="FREQ"):
        change_task(desk, some.id, draft, revision=1)


def test_a_template_that_cannot_be_used_is_named_with_its_file(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(
        '[[task]]\nkey = "x"\ntitle = "X"\ncategory = "water"\nwhy = "w"\nsource = "s"\n'
        'steps = ["a"]\ntriggers = [{kind = "moon"}]\n',
        encoding="utf-8",
    )
    with pytest.raises(InputError, match=r"bad\.toml, x"):
        load_templates(tmp_path)


def test_every_template_fits_some_profile() -> None:
    every = [
        TubProfile(
            name="T",
            liner=liner,
            cladding=cladding,
            sanitiser=sanitiser,
            has_uv=True,
            has_ozone=True,
            chiller_w=1,
            pump_w=1,
            filter_kind=kind,
        )
        for liner in Liner
        for cladding in Cladding
        for sanitiser in Sanitiser
        for kind in type(TubProfile(name="T").filter_kind)
    ]
    for template in known_templates():
        assert any(fits(template, profile) for profile in every), template.key


def test_a_task_tells_its_cautions_in_words(desk: Desk) -> None:
    add_tub_with_plan(desk, TubProfile(name="North"))
    rcd = next(t for t in task_list(desk) if t.title == "Test the RCD")
    told = task_detail(desk, rcd.id).cautions
    assert any("licensed electrician" in text for text in told)
    assert not set(told) & set(caution_texts())
