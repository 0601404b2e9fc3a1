"""Templates in the language of a person: every text of theirs, and nothing else."""

from __future__ import annotations

from datetime import date

from tubcare.care.plan import draw_plan
from tubcare.care.plan_redraw import content_to_data
from tubcare.care.template_words import in_words
from tubcare.care.templates import load_templates
from tubcare.resource_files import read_texts
from tubcare.values import TubProfile

TEMPLATES = load_templates(read_texts("care_plans", ".toml"))
LOUD = in_words(TEMPLATES, str.upper)


def test_every_text_that_a_person_reads_is_put_in_words() -> None:
    for each in LOUD:
        card = each.card
        read = [each.title, card.why, *(step.text for step in card.steps), *card.tools]
        read += [use.name for use in card.supplies] + [task.title for task in card.follow_ups]
        read += [str(each.rules.get("round_name", "")), *card.sources]
        assert read == [text.upper() for text in read]
    cautions = LOUD.caution_texts().values()
    assert all(text == text.upper() for text in cautions)


def test_what_a_plan_goes_by_stays_as_it_is() -> None:
    for loud, plain in zip(LOUD, TEMPLATES, strict=True):
        assert (loud.key, loud.when, loud.triggers) == (plain.key, plain.when, plain.triggers)
        assert loud.card.all_cautions == plain.card.all_cautions
        assert [step.wait_after_h for step in loud.card.steps] == [
            step.wait_after_h for step in plain.card.steps
        ]


def test_texts_as_the_files_hold_them_draw_the_same_plan() -> None:
    today = date(2026, 5, 1)
    plain = draw_plan(TubProfile(name="North"), TEMPLATES, today)
    same = draw_plan(TubProfile(name="North"), in_words(TEMPLATES, str), today)
    assert list(map(content_to_data, same)) == list(map(content_to_data, plain))


def test_a_supply_that_is_on_the_shelf_keeps_its_name() -> None:
    kept = in_words(TEMPLATES, str.upper, kept_supplies={"test strips"})
    names = {use.name for each in kept for use in each.card.supplies}
    assert "Test strips" in names
    assert "TEST STRIPS" not in names
    assert "CHLORINE GRANULES" in names
