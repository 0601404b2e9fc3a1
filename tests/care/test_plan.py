"""Drawing up a plan: the right tasks for each tub, and nothing that starts late."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.care.plan_cases import PLAIN, TODAY, profiles, shipped
from tubcare.care.forecast import forecast
from tubcare.care.model import InspectionResult, ReadingTrigger, SeasonPlan, Status, TubFacts
from tubcare.care.occurrences import occurrences
from tubcare.care.plan import PlannedTask, draw_plan, together
from tubcare.care.plan_card import Need, UsualAmount, card_from_data, card_to_data
from tubcare.errors import InputError
from tubcare.values import (
    Cladding,
    FilterKind,
    LidKind,
    Liner,
    MonthDay,
    Sanitiser,
    TaskId,
    TubId,
    TubProfile,
)

days = st.dates(min_value=date(2024, 1, 1), max_value=date(2030, 12, 31))


def plan(profile: TubProfile = PLAIN, today: date = TODAY) -> dict[str, PlannedTask]:
    return {each.template_key: each for each in draw_plan(profile, shipped(), today)}


def test_an_aluminium_liner_brings_closer_ph_watch_and_its_own_inspection() -> None:
    plain = set(plan())
    aluminium = set(plan(replace(PLAIN, liner=Liner.ALUMINIUM)))
    assert aluminium - plain == {"water.test_aluminium", "liner.aluminium"}
    assert plain - aluminium == {"liner.inspect"}


def test_wood_brings_wash_and_reseal() -> None:
    assert {"wood.wash", "wood.reseal", "wood.rot"} <= set(
        plan(replace(PLAIN, cladding=Cladding.SOFTWOOD))
    )
    assert not any(key.startswith("wood.") for key in plan())


def test_winters_bring_the_closing_and_the_visit_of_the_closed_tub() -> None:
    winter = {"season.open", "season.close", "season.midwinter", "season.frost_watch"}
    assert winter <= set(plan())
    mild = set(plan(replace(PLAIN, latitude_deg=10.0)))
    assert not winter & mild
    assert {"season.open_mild", "season.close_mild"} <= mild


def test_a_tub_open_in_winter_is_watched_for_ice_and_not_closed_for_the_winter() -> None:
    keys = set(
        plan(
            replace(
                PLAIN,
                season_opens=MonthDay(month=11, day=1),
                season_closes=MonthDay(month=3, day=31),
            )
        )
    )
    assert {"season.ice", "season.frost_watch", "season.close_mild"} <= keys
    assert not {"season.close", "season.midwinter"} & keys


@pytest.mark.parametrize(
    ("profile", "brings"),
    [
        (replace(PLAIN, has_uv=True), {"uv.lamp", "uv.sleeve"}),
        (replace(PLAIN, sanitiser=Sanitiser.OZONE), {"ozone.unit", "ozone.cell"}),
        (replace(PLAIN, filter_kind=FilterKind.SAND), {"filter.backwash", "filter.sand"}),
        (replace(PLAIN, filter_kind=FilterKind.BAG), {"filter.bag"}),
        (replace(PLAIN, sanitiser=Sanitiser.BROMINE), {"water.dose_bromine"}),
        (replace(PLAIN, sanitiser=Sanitiser.HYDROGEN_PEROXIDE), {"water.dose_peroxide"}),
        (replace(PLAIN, sanitiser=Sanitiser.FREQUENT_CHANGE), {"water.change_often"}),
        (replace(PLAIN, liner=Liner.STAINLESS_STEEL), {"liner.stainless"}),
        (replace(PLAIN, liner=Liner.WOOD), {"liner.wood", "wood.rot"}),
    ],
)
def test_what_is_fitted_brings_its_own_upkeep(profile: TubProfile, brings: set[str]) -> None:
    assert set(plan(profile)) - set(plan()) >= brings


def test_a_bare_tub_has_no_upkeep_of_what_it_lacks() -> None:
    bare = TubProfile(
        name="Bare",
        filter_kind=FilterKind.NONE,
        lid=LidKind.NONE,
        sanitiser=Sanitiser.FREQUENT_CHANGE,
    )
    areas = {key.split(".")[0] for key in plan(bare)}
    assert not areas & {"filter", "pump", "chiller", "electrics", "lid", "uv", "ozone", "store"}


def test_the_plan_starts_with_about_a_dozen_tasks_beside_those_that_wait_for_a_reading() -> None:
    for profile in (TubProfile(name="Default"), PLAIN, replace(PLAIN, liner=Liner.ALUMINIUM)):
        starters = [each for each in plan(profile).values() if each.starter]
        waiting = [
            each
            for each in starters
            if all(isinstance(trigger, ReadingTrigger) for trigger in each.task().triggers)
        ]
        assert 10 <= len(starters) - len(waiting) <= 18
        # What waits for a reading stands in no list until one asks.
        assert len(waiting) <= 9


def test_only_a_few_tasks_are_asked_about() -> None:
    asked = [each for each in plan().values() if each.asks_last_done]
    assert 3 <= len(asked) <= 7
    assert all(each.starter for each in asked)


def test_what_was_last_done_on_a_known_day_goes_on_from_there() -> None:
    known = {"filter.swap": date(2026, 4, 20), "water.change": date(2025, 9, 1)}
    drawn = {
        each.template_key: each for each in draw_plan(PLAIN, shipped(), TODAY, last_done=known)
    }
    assert drawn["filter.swap"].first_due_on == date(2026, 5, 20)
    assert drawn["water.change"].first_due_on == TODAY


def test_work_done_in_the_future_is_refused() -> None:
    with pytest.raises(InputError, match=r"filter\.swap"):
        draw_plan(PLAIN, shipped(), TODAY, last_done={"filter.swap": date(2026, 5, 2)})


def test_safety_is_due_at_once_and_the_rest_spreads_over_four_weeks() -> None:
    drawn = plan()
    assert drawn["electrics.rcd"].first_due_on == TODAY
    firsts = [
        (each.first_due_on - TODAY).days
        for each in drawn.values()
        if each.first_due_on is not None and not each.rules.get("safety")
    ]
    assert max(firsts) <= 28
    assert len(set(firsts)) >= 10


def test_the_same_profile_gives_the_same_plan() -> None:
    assert draw_plan(PLAIN, shipped(), TODAY) == draw_plan(PLAIN, shipped(), TODAY)


def test_the_rest_is_offered_with_its_season() -> None:
    drawn = plan(today=date(2026, 5, 1))
    assert drawn["electrics.rcd"].offered_on == TODAY
    assert drawn["season.midwinter"].offered_on == date(2026, 10, 31) - timedelta(days=42)
    in_winter = plan(today=date(2026, 12, 1))
    assert in_winter["pump.look"].offered_on == date(2027, 4, 29)
    assert in_winter["season.midwinter"].offered_on == date(2026, 12, 1)


@given(profile=profiles, today=days)
def test_every_profile_draws_a_valid_plan_in_which_nothing_starts_late(
    profile: TubProfile, today: date
) -> None:
    drawn = draw_plan(profile, shipped(), today)
    tub = TubId(1)
    tasks = [each.task(TaskId(number), tub) for number, each in enumerate(drawn, 1)]
    keys = [each.template_key for each in drawn]
    assert len(set(keys)) == len(keys)
    assert {"water.level", "safety.rules"} <= set(keys)
    assert any(key.startswith("season.open") for key in keys)
    assert any(key.startswith("season.close") for key in keys)
    facts = TubFacts(
        tub_id=tub,
        plan=SeasonPlan(opens=profile.season_opens, closes=profile.season_closes),
    )
    for found in occurrences(tasks, {}, {tub: facts}, today):
        assert found.due_on >= today
        assert found.status in {Status.COMING, Status.DUE, Status.ASLEEP}
    assert all(each.offered_on >= today for each in drawn)


@pytest.mark.parametrize(
    "profile",
    [
        replace(PLAIN, liner=Liner.ALUMINIUM, cladding=Cladding.SOFTWOOD, has_uv=True),
        replace(PLAIN, latitude_deg=10.0, sanitiser=Sanitiser.OZONE),
        replace(
            PLAIN,
            latitude_deg=-45.0,
            season_opens=MonthDay(month=10, day=1),
            season_closes=MonthDay(month=4, day=15),
        ),
    ],
)
def test_all_that_waits_for_no_reading_falls_due_within_thirteen_months(
    profile: TubProfile,
) -> None:
    tub = TubId(1)
    tasks = {
        TaskId(number): each.task(TaskId(number), tub)
        for number, each in enumerate(draw_plan(profile, shipped(), TODAY), 1)
    }
    facts = TubFacts(
        tub_id=tub,
        plan=SeasonPlan(opens=profile.season_opens, closes=profile.season_closes),
    )
    until = TODAY + timedelta(days=400)
    due = {each.task_id for each in forecast(tasks.values(), {}, {tub: facts}, TODAY, until)}
    for task_id, task in tasks.items():
        if not all(isinstance(trigger, ReadingTrigger) for trigger in task.triggers):
            assert task_id in due, task.title


@given(profile=profiles)
def test_every_tub_with_a_chiller_and_winters_has_frost_in_its_plan(profile: TubProfile) -> None:
    cold = replace(profile, latitude_deg=60.0, chiller_w=400.0)
    assert "season.frost_watch" in plan(cold)
    assert "electrics.rcd" in plan(cold)


def test_cards_come_back_from_json_as_they_were() -> None:
    for each in plan(replace(PLAIN, has_uv=True, cladding=Cladding.SOFTWOOD)).values():
        data = json.loads(json.dumps(card_to_data(each.card)))
        assert card_from_data(data) == each.card


def test_a_card_of_a_later_version_is_refused_and_an_empty_one_is_empty() -> None:
    with pytest.raises(InputError, match="version"):
        card_from_data({"version": 99})
    assert card_from_data({}).steps == ()
    assert card_from_data({"supplies": [["Oil", 1, "l"]]}).supplies == (
        UsualAmount("Oil", 1, "l"),
    )


@pytest.mark.parametrize(
    "wrong",
    [
        {"steps": ["Look."]},
        {"steps": [["", 0, []]]},
        {"needs": ["luck"]},
        {"supplies": [["Oil"]]},
        {"cautions": "wet"},
        {"follow_ups": [["odd", "x", 1]]},
    ],
)
def test_a_card_that_cannot_be_read_names_the_field(wrong: dict[str, object]) -> None:
    with pytest.raises(InputError, match=next(iter(wrong))):
        card_from_data(wrong)


def test_a_bad_result_names_the_work_that_follows() -> None:
    card = plan()["electrics.cable"].card
    follow_up = card.follow_up(InspectionResult.BAD)
    assert follow_up is not None
    assert follow_up.within_days == 1
    assert card.follow_up(InspectionResult.GOOD) is None


def test_work_that_needs_the_tub_empty_is_offered_together() -> None:
    groups = together({key: each.needs for key, each in plan().items()})
    assert next(iter(groups)) is Need.TUB_EMPTY
    assert {"water.change", "liner.inspect", "lines.drain_plug"} <= set(groups[Need.TUB_EMPTY])
    assert "chiller.coil" in groups[Need.UNIT_OFF]


def test_each_piece_of_work_stands_in_one_group_and_one_alone_in_none() -> None:
    groups = together(
        {
            1: [Need.UNIT_OFF, Need.TUB_EMPTY],
            2: [Need.TUB_EMPTY],
            3: [Need.UNIT_OFF],
            4: [Need.DRY_WEATHER],
            5: [],
        }
    )
    assert groups == {Need.TUB_EMPTY: (1, 2)}
