"""Task templates in the language of a person, so that a plan is drawn in it. Pure."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

from tubcare.care.templates import TemplateSet
from tubcare.care.templates_read import told_sources

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from tubcare.care.plan_card import UsualAmount
    from tubcare.care.templates_read import Template

OwnWords: TypeAlias = "Callable[[str], str]"
"""Returns the person's language for a text of the program's own."""


def as_written(text: str) -> str:
    """Return the text as the program's files hold it, in English."""
    return text


def in_words(
    templates: TemplateSet, own: OwnWords, *, kept_supplies: Collection[str] = ()
) -> TemplateSet:
    """Return templates and cautions with every text that a person sees put through `own`.

    Parameters
    ----------
    kept_supplies
        Names in small letters of supplies that stay as the files have them: the logbook has
        stock under that name.
    """

    def supply(use: UsualAmount) -> UsualAmount:
        if use.name.casefold() in kept_supplies:
            return use
        return use._replace(name=own(use.name), unit=own(use.unit))

    return TemplateSet(
        templates=tuple(_template(each, own, supply) for each in templates),
        cautions=MappingProxyType(
            {key: replace(each, text=own(each.text)) for key, each in templates.cautions.items()}
        ),
    )


def _template(
    template: Template, own: OwnWords, supply: Callable[[UsualAmount], UsualAmount]
) -> Template:
    card, rules = template.card, dict(template.rules)
    if isinstance(name := rules.get("round_name"), str):
        rules["round_name"] = own(name)
    return replace(
        template,
        title=own(template.title),
        rules=rules,
        card=replace(
            card,
            why=own(card.why),
            steps=tuple(replace(step, text=own(step.text)) for step in card.steps),
            tools=tuple(map(own, card.tools)),
            supplies=tuple(map(supply, card.supplies)),
            sources=told_sources(template.numbers, own),
            follow_ups=tuple(replace(each, title=own(each.title)) for each in card.follow_ups),
        ),
    )
