"""The program's own task templates, read once."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from tubcare.care.templates import load_templates
from tubcare.resource_files import read_texts

if TYPE_CHECKING:
    from tubcare.care.templates import TemplateSet

FOLDER = "care_plans"


@lru_cache(maxsize=1)
def known_templates() -> TemplateSet:
    """Return the program's own templates with the texts of their cautions."""
    return load_templates(read_texts(FOLDER, ".toml"))


def caution_texts() -> dict[str, str]:
    """Return the text of each caution by its key."""
    return dict(known_templates().caution_texts())
