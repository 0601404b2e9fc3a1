"""Reading template files: a mistake names the file, the template and the field."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.care.plan_cases import PLAIN, shipped
from tubcare.care.templates import TemplateError, load_templates, rules_for
from tubcare.care.templates_when import profile_facts, read_when
from tubcare.errors import InputError
from tubcare.resource_files import names, read_text
from tubcare.values import FilterKind, Liner, MonthDay, Sanitiser, TubProfile

GOOD = """
category = "filter"
[[task]]
key = "filter.look"
title = "Look at the filter"
why = "It clogs."
triggers = [{ kind = "elapsed", every = 1, period = "week" }]
steps = ["Look.", { text = "Wait.", wait_after_h = 2, cautions = ["wet"] }]
numbers = [{ value = "1 week", source = "common practice, no source" }]
"""
CAUTIONS = '[wet]\nkind = "handling"\ntext = "It is wet."\nsource = "common practice, no source"\n'


def load(text: str) -> None:
    load_templates({"cautions.toml": CAUTIONS, "filter.toml": text})


def test_the_shipped_files_are_found_in_a_checkout() -> None:
    assert "cautions.toml" in names("care_plans")
    assert "[[task]]" in read_text("care_plans/filter.toml")


def test_a_file_that_was_not_installed_is_named() -> None:
    with pytest.raises(FileNotFoundError, match="nothing"):
        read_text("care_plans/nothing.toml")


def test_a_template_takes_the_category_of_its_file() -> None:
    found = load_templates({"cautions.toml": CAUTIONS, "filter.toml": GOOD})
    template = next(iter(found))
    assert str(template.category) == "filter"
    assert template.card.steps[1].wait_after_h == 2.0
    assert template.card.all_cautions == ("wet",)


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ('key = "filter.look"', 'key = "Filter Look"', "key"),
        ('title = "Look at the filter"', 'title = ""', "title"),
        ('why = "It clogs."', "", "why"),
        ('kind = "elapsed"', 'kind = "sometimes"', "kind"),
        ("every = 1", "every = 0", "count"),
        ('period = "week"', 'period = "fortnight"', "period"),
        ("wait_after_h = 2", "wait_after_h = -1", "wait_after_h"),
        ("wait_after_h = 2", "wait_after_h = 1e9", "wait_after_h"),
        ('["wet"]', '["dry"]', "dry"),
        ('category = "filter"', 'category = "fitler"', "category"),
        ("numbers =", "nubmers =", "nubmers"),
        ('why = "It clogs."', 'why = "It clogs."\nminutes = -5', "minutes"),
        ('why = "It clogs."', 'why = "It clogs."\nneeds = ["tools"]', "needs"),
        ('why = "It clogs."', 'why = "It clogs."\nwhen = { linre = ["grp"] }', "linre"),
        ('why = "It clogs."', 'why = "It clogs."\nfollow_up = { odd = { title = "x" } }', "odd"),
        (
            '{ kind = "elapsed", every = 1, period = "week" }',
            '{ kind = "calendar", rule = "FREQ=HOURLY" }',
            "FREQ",
        ),
        (
            '{ kind = "elapsed", every = 1, period = "week" }',
            '{ kind = "reading", when = "ph beyond range" }',
            "comparison",
        ),
        ('{ kind = "elapsed", every = 1, period = "week" }', "", "trigger"),
    ],
)
def test_a_mistake_names_file_template_and_field(old: str, new: str, named: str) -> None:
    with pytest.raises(TemplateError) as caught:
        load(GOOD.replace(old, new))
    assert caught.value.file == "filter.toml"
    assert caught.value.key
    assert named in str(caught.value)


def test_two_templates_of_one_key_are_refused() -> None:
    with pytest.raises(TemplateError, match=r"filter\.look"):
        load_templates({"cautions.toml": CAUTIONS, "a.toml": GOOD, "b.toml": GOOD})


@pytest.mark.parametrize("text", ["not = [toml", "tasks = []", "task = 3", ""])
def test_a_file_without_templates_is_named(text: str) -> None:
    with pytest.raises(TemplateError, match=r"filter\.toml"):
        load(text)


def test_a_caution_without_a_source_is_refused() -> None:
    with pytest.raises(TemplateError, match="source"):
        load_templates({"cautions.toml": '[wet]\nkind = "handling"\ntext = "Wet."\n'})


def test_conditions_over_the_profile_combine() -> None:
    when = read_when(
        {
            "liner": ["aluminium", "grp"],
            "winters": True,
            "volume_l": ">= 300",
            "any": [{"has_uv": True}, {"has_ozone": True}],
            "not": {"sanitiser": ["frequent_change"]},
        }
    )
    tub = replace(PLAIN, liner=Liner.GRP, has_uv=True, volume_l=300.0)
    assert when.holds(tub)
    assert not when.holds(replace(tub, liner=Liner.PVC))
    assert not when.holds(replace(tub, latitude_deg=5.0))
    assert not when.holds(replace(tub, volume_l=299.0))
    assert not when.holds(replace(tub, has_uv=False))
    assert when.holds(replace(tub, has_uv=False, has_ozone=True))
    assert not when.holds(replace(tub, sanitiser=Sanitiser.FREQUENT_CHANGE))


@pytest.mark.parametrize(
    "data",
    [
        {"liner": "grp"},
        {"liner": []},
        {"liner": ["glass"]},
        {"winters": "yes"},
        {"volume_l": 300},
        {"volume_l": "outside range"},
        {"any": []},
        {"not": ["x"]},
        {"colour": ["blue"]},
    ],
)
def test_a_condition_that_cannot_be_read_names_its_line(data: dict[str, object]) -> None:
    with pytest.raises(InputError, match=next(iter(data))):
        read_when(data)


def test_a_lamp_as_sanitiser_counts_as_fitted_and_a_filter_needs_a_pump() -> None:
    facts = profile_facts(
        TubProfile(name="Tub", sanitiser=Sanitiser.UV, filter_kind=FilterKind.BAG)
    )
    assert facts["has_uv"]
    assert facts["has_pump"]
    assert not facts["is_dosed"]


def test_a_tub_used_in_winter_alone_is_open_in_winter_in_either_hemisphere() -> None:
    months = {60.0: (11, 3), -45.0: (5, 9)}
    for latitude, (opens, closes) in months.items():
        tub = replace(
            PLAIN,
            latitude_deg=latitude,
            season_opens=MonthDay(month=opens, day=1),
            season_closes=MonthDay(month=closes, day=1),
        )
        assert profile_facts(tub)["open_in_winter"]
        assert not profile_facts(tub)["closed_in_winter"]


def test_calendar_rules_follow_the_hemisphere_and_use_the_size_of_the_tub() -> None:
    by_key = {template.key: template for template in shipped()}
    frost = by_key["season.frost_watch"]
    north = str(rules_for(frost, PLAIN)["triggers"])
    south = str(rules_for(frost, replace(PLAIN, latitude_deg=-45.0))["triggers"])
    assert "BYMONTH=1,2,3,4,5,9" in north
    assert "BYMONTH=3,4,5,6,7,8,9" in south
    change = rules_for(by_key["water.change"], replace(PLAIN, volume_l=800.0))
    assert "'amount': 200.0" in str(change["triggers"])
