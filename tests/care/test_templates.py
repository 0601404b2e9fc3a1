"""The shipped templates: whole, calm, with a source for each number and the usual cautions."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.care.plan_cases import shipped
from tubcare.care.templates_read import ESTIMATES, CautionKind, Template
from tubcare.ledger.categories import SpendCategory

if TYPE_CHECKING:
    from collections.abc import Iterator

_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_HAZARDS = {
    CautionKind.CHEMICALS: (
        "dose of",
        "dosing, and",
        "neutralis",
        "peroxide as",
        "bromine",
        "cleaner",
        "purge as",
        "oil on",
        "acid",
        "throw away",
    ),
    CautionKind.ELECTRICITY: ("unplug", "plug in", "rcd", "socket", "cable", "power"),
    CautionKind.COLD_WATER: (
        "anybody goes in",
        "sample",
        "the water, read",
        "lid open",
        "waterline",
    ),
    CautionKind.FROST: ("frost", "ice at", "ice on", "it thaw", "freezes"),
}

every_template = pytest.mark.parametrize(
    "template", list(shipped()), ids=[template.key for template in shipped()]
)


def _numbers_told(template: Template) -> Iterator[str]:
    """Yield each number that a person meets or is reminded by."""
    for trigger in template.triggers:
        for name in ("every", "amount", "per_litre", "offset_days"):
            if name in trigger:
                yield str(trigger[name]).lstrip("-")
        for name in ("rule", "rule_south"):
            yield from re.findall(r"(?:BYMONTHDAY|INTERVAL)=(\d+)", str(trigger.get(name, "")))
        yield from _NUMBER.findall(str(trigger.get("when", "")))
    results = template.rules.get("result_intervals", {})
    assert isinstance(results, dict)
    yield from (str(interval["every"]) for interval in results.values())
    for step in template.card.steps:
        yield from _NUMBER.findall(step.text)
        if step.wait_after_h:
            yield f"{step.wait_after_h:g}"


def test_there_are_at_least_forty_eight_templates() -> None:
    assert len(shipped()) >= 48


def test_every_area_of_a_tub_has_its_upkeep() -> None:
    covered = {str(template.category) for template in shipped()}
    assert covered >= {
        *("water", "filter", "pump", "chiller", "lines", "liner", "lid", "wood", "insulation"),
        *("electrics", "instruments", "chemical_store", "metering", "ground", "season", "safety"),
    }


@every_template
def test_a_template_has_steps_a_reason_and_usual_minutes(template: Template) -> None:
    assert len(template.card.steps) >= 2
    assert template.card.why.endswith(".")
    assert template.rules.get("minutes"), "how long does it take?"


@every_template
def test_each_number_of_a_template_names_its_source(template: Template) -> None:
    told = " ".join(each.value for each in template.numbers)
    sourced = set(_NUMBER.findall(told))
    assert set(_numbers_told(template)) <= sourced
    assert template.card.sources[-1] == ESTIMATES


@every_template
def test_steps_that_can_hurt_carry_their_caution(template: Template) -> None:
    cautions = shipped().cautions
    shown = {cautions[key].kind for key in template.card.all_cautions}
    text = " ".join(step.text for step in template.card.steps).casefold()
    for kind, words in _HAZARDS.items():
        if any(word in text for word in words):
            assert kind in shown, (kind, [word for word in words if word in text])


@every_template
def test_a_template_speaks_in_plain_calm_sentences(template: Template) -> None:
    card = template.card
    for text in (template.title, card.why, *(step.text for step in card.steps)):
        assert "!" not in text
        assert text[0].isupper()
        assert not re.search(r"\b[A-Z]{5,}\b", text)
    assert not template.title.endswith(".")
    assert all(step.text.endswith(".") for step in card.steps)


@every_template
def test_a_template_makes_no_claim_about_health_or_safe_minutes(template: Template) -> None:
    text = " ".join([template.card.why, *(step.text for step in template.card.steps)]).casefold()
    assert not re.search(r"\b(healthy|heals|boosts|recovery|immune|safe (?:time|minutes))\b", text)


@every_template
def test_the_money_for_usual_supplies_has_a_known_category(template: Template) -> None:
    for supply in template.card.supplies:
        assert supply.category in set(SpendCategory)
        assert supply.quantity_milli > 0


@every_template
def test_a_bad_inspection_shortens_the_interval_and_opens_a_follow_up(template: Template) -> None:
    results = template.rules.get("result_intervals")
    if results is not None:
        assert isinstance(results, dict)
        assert {"good", "doubtful", "bad"} <= set(results)
        assert any(each.result == "bad" for each in template.card.follow_ups)


def test_a_supply_is_counted_in_one_unit_everywhere() -> None:
    units: dict[str, set[tuple[str, str]]] = {}
    for template in shipped():
        for supply in template.card.supplies:
            units.setdefault(supply.name, set()).add((supply.unit, supply.category))
    assert {name: found for name, found in units.items() if len(found) > 1} == {}


@pytest.mark.parametrize(
    "key", ["season.open", "season.close", "water.change", "season.open_mild", "season.close_mild"]
)
def test_long_procedures_wait_between_steps_over_more_than_a_day(key: str) -> None:
    template = next(each for each in shipped() if each.key == key)
    assert template.card.waiting_h > 24
    assert sum(step.wait_after_h > 0 for step in template.card.steps) >= 3


def test_frost_protective_device_and_cable_bear_no_delay() -> None:
    by_key = {template.key: template for template in shipped()}
    for key in ("season.close", "season.frost_watch", "electrics.rcd", "electrics.cable"):
        assert by_key[key].rules.get("no_grace") is True


def test_every_caution_has_a_text_and_a_source_and_is_used() -> None:
    used = {key for template in shipped() for key in template.card.all_cautions}
    assert set(shipped().cautions) == used
    for caution in shipped().cautions.values():
        assert caution.text.endswith(".")
        assert "!" not in caution.text
        assert caution.source
