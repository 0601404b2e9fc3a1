"""The matters that a tub's upkeep has to cover, each with the tasks that cover it and for whom.

Which matters there are is common practice, no source; standards name some of them (RCD test,
suction covers, drain and refill), but none lists them all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from tests.care.plan_cases import PLAIN, TODAY, shipped
from tubcare.care.plan import draw_plan
from tubcare.care.plan_card import Need
from tubcare.values import Cladding, FilterKind, LidKind, Liner, Sanitiser, TubProfile

BARE = TubProfile(
    name="Bare",
    lid=LidKind.NONE,
    filter_kind=FilterKind.NONE,
    sanitiser=Sanitiser.FREQUENT_CHANGE,
    latitude_deg=60.0,
)
WOODEN = replace(PLAIN, cladding=Cladding.SOFTWOOD)
MILD = replace(PLAIN, latitude_deg=10.0)


@dataclass(frozen=True)
class Matter:
    """What has to be covered: words of a title, whom it is for, and for whom it is not."""

    name: str
    keys: frozenset[str]
    tub: TubProfile = PLAIN
    without: TubProfile | None = None


def matter(
    name: str, *keys: str, tub: TubProfile = PLAIN, without: TubProfile | None = None
) -> Matter:
    return Matter(name, frozenset(keys), tub, without)


MATTERS = (
    matter("water", "water.test", "water.correct_ph", "water.change"),
    matter(
        "sanitiser",
        "water.dose_chlorine",
        without=replace(PLAIN, sanitiser=Sanitiser.FREQUENT_CHANGE),
    ),
    matter("filter", "filter.rinse", "filter.swap"),
    matter("pump", "pump.look", "pump.service", without=BARE),
    matter("compressor", "chiller.compressor", without=BARE),
    matter("condenser coil", "chiller.coil", without=BARE),
    matter("lines and fittings", "lines.hoses", "lines.valves", "lines.drain_plug"),
    matter("liner", "liner.inspect"),
    matter(
        "aluminium liner",
        "liner.aluminium",
        "water.test_aluminium",
        tub=replace(PLAIN, liner=Liner.ALUMINIUM),
        without=PLAIN,
    ),
    matter("lid and gasket", "lid.gasket", without=BARE),
    matter("wood", "wood.wash", "wood.reseal", "wood.rot", tub=WOODEN, without=PLAIN),
    matter("fastenings", "wood.fastenings", tub=WOODEN, without=PLAIN),
    matter("insulation", "insulation.look"),
    matter("RCD test", "electrics.rcd", without=BARE),
    matter("cable and plug", "electrics.cable", without=BARE),
    matter("ice-point check", "instruments.ice_point"),
    matter("pH meter check", "instruments.ph_meter"),
    matter("shelf life of reagents", "instruments.reagents"),
    matter("chemical store", "store.look"),
    matter("meter reading", "metering.read", without=BARE),
    matter("lid opened after dosing", "water.air_after_dose", without=BARE),
    matter("line purge before draining", "lines.purge"),
    matter("dry-finger leak check", "lines.dry_finger"),
    matter("level mark", "water.level"),
    matter("ground and steps", "ground.look"),
    matter("suction guard", "lines.suction_guard", without=BARE),
    matter("UV lamp", "uv.lamp", tub=replace(PLAIN, has_uv=True), without=PLAIN),
    matter("ozone unit", "ozone.unit", tub=replace(PLAIN, has_ozone=True), without=PLAIN),
    matter("mid-winter visit", "season.midwinter", "season.after_closing", without=MILD),
    matter("spring opening", "season.open", without=MILD),
    matter("autumn closing", "season.close", without=MILD),
    matter("watch for frost while open", "season.frost_watch", without=MILD),
)
STEPS_OF_THE_VISIT = ("trapped water", "snow", "mice", "strap")
PROCEDURES = ("season.open", "season.close", "water.change")
#: A cup of crushed ice hurts nobody; all other work carries a caution.
HARMLESS = {"instruments.ice_point"}


def keys_for(tub: TubProfile) -> set[str]:
    return {each.template_key for each in draw_plan(tub, shipped(), TODAY)}


@pytest.mark.parametrize("covered", MATTERS, ids=[each.name for each in MATTERS])
def test_each_matter_is_covered_for_the_tubs_that_have_it_and_for_no_others(
    covered: Matter,
) -> None:
    assert covered.keys <= keys_for(covered.tub)
    if covered.without is not None:
        assert not covered.keys & keys_for(covered.without)


def test_the_visit_of_a_closed_tub_looks_at_all_that_goes_wrong_in_winter() -> None:
    visit = next(each for each in shipped() if each.key == "season.midwinter")
    text = " ".join(step.text for step in visit.card.steps).casefold()
    for word in STEPS_OF_THE_VISIT:
        assert word in text, word


def test_opening_closing_and_water_change_are_procedures_over_days() -> None:
    for template in shipped():
        if template.key in PROCEDURES:
            assert template.card.is_procedure
            assert len(template.card.steps) >= 8


def test_work_names_what_it_needs() -> None:
    named = {need for template in shipped() for need in template.card.needs}
    assert named == set(Need)
    for template in shipped():
        first = template.card.steps[0].text.casefold()
        if "unplug" in first:
            assert Need.UNIT_OFF in template.card.needs or "season" in template.key, template.key


def test_every_task_but_the_harmless_carries_a_caution() -> None:
    bare = {template.key for template in shipped() if not template.card.all_cautions}
    assert bare == HARMLESS
