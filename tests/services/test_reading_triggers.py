"""Each template that a reading brings up: what it asks for can be measured and has its range."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given

from tests.care.plan_cases import TODAY, profiles, shipped
from tubcare.care.condition import parse_condition
from tubcare.care.plan import draw_plan
from tubcare.care.terms import Comparison, TubState
from tubcare.services.measures import QUANTITY_BOUNDS, add_readings
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.ranges import care_ranges
from tubcare.services.tubs import enter_state
from tubcare.services.water_facts import DERIVED
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import PlanState
from tubcare.services.week import this_week
from tubcare.values import Liner, Sanitiser, TubProfile

if TYPE_CHECKING:
    from tubcare.care.templates_read import Template
    from tubcare.services.desk import Desk


def asked_by(triggers: Any) -> list[str]:  # noqa: ANN401  plain data
    return [str(each["when"]) for each in triggers if each["kind"] == "reading"]


@pytest.mark.parametrize("template", list(shipped()), ids=[each.key for each in shipped()])
def test_what_a_template_asks_for_can_be_measured_or_is_worked_out(template: Template) -> None:
    for text in asked_by(template.triggers):
        assert parse_condition(text).quantity in {*QUANTITY_BOUNDS, *DERIVED}


@given(profiles)
def test_a_tub_has_the_range_that_its_own_tasks_are_held_against(profile: TubProfile) -> None:
    ranges = care_ranges(profile, {})
    for each in draw_plan(profile, shipped(), TODAY):
        for text in asked_by(each.rules["triggers"]):
            condition = parse_condition(text)
            if condition.limit is None:
                found = ranges[condition.quantity]
                low, high = found.low is not None, found.high is not None
                needs_low = condition.comparison in {Comparison.LESS, Comparison.AT_MOST}
                assert low if needs_low else high


@pytest.mark.parametrize("sanitiser", list(Sanitiser))
@pytest.mark.parametrize("liner", list(Liner))
def test_every_tub_has_a_range_of_ph_alkalinity_and_its_own_sanitiser(
    sanitiser: Sanitiser, liner: Liner
) -> None:
    profile = TubProfile(name="Tub", sanitiser=sanitiser, liner=liner)
    ranges = care_ranges(profile, {})
    own = {
        Sanitiser.CHLORINE: "free_chlorine_mg_l",
        Sanitiser.BROMINE: "bromine_mg_l",
        Sanitiser.HYDROGEN_PEROXIDE: "peroxide_mg_l",
    }
    assert {"ph", "alkalinity_mg_l", "clarity", own.get(sanitiser, "ph")} <= set(ranges)
    for found in ranges.values():
        assert found.low is None or found.high is None or found.low < found.high


@pytest.mark.parametrize("ph", [0.0, 1.6, 13.2, 14.0])
def test_a_slip_of_a_digit_in_a_reading_does_not_hide_the_week(desk: Desk, ph: float) -> None:
    tub = add_tub_with_plan(desk, TubProfile(name="North", zone="Europe/Helsinki")).tub
    enter_state(desk, tub, TubState.OPEN, date(2026, 4, 20))
    add_readings(desk, tub, {"ph": ph, "alkalinity_mg_l": 900.0})
    titles = {item.title for item in this_week(desk).due_today}
    assert "Correct the pH" in titles
    assert water_plan(desk, tub).state is PlanState.CONTRADICTION
