"""The program's own task templates, read once."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.template_words import in_words
from tubcare.care.templates import load_templates
from tubcare.resource_files import read_texts
from tubcare.store.tables import SupplyRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tubcare.care.templates import TemplateSet
    from tubcare.services.desk import Desk

FOLDER = "care_plans"


@lru_cache(maxsize=1)
def known_templates() -> TemplateSet:
    """Return the program's own templates with the texts of their cautions."""
    return load_templates(read_texts(FOLDER, ".toml"))


def templates_in_words(desk: Desk) -> TemplateSet:
    """Return them in the language of the desk; a supply that the logbook has keeps its name."""
    with desk.read() as connection:
        names = connection.execute(select(table_of(SupplyRow).c.name)).scalars()
        kept = {name.casefold() for name in names}
    return in_words(known_templates(), desk.own_words, kept_supplies=kept)


def caution_texts() -> dict[str, str]:
    """Return the text of each caution by its key."""
    return dict(known_templates().caution_texts())
