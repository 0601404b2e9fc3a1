"""Task templates: pieces of upkeep that choose themselves by a tub's profile. Pure."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.care import fields
from tubcare.care.profile import is_southern
from tubcare.care.templates_read import CAUTIONS_FILE, Caution, read_caution, read_template
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from tubcare.care.templates_read import Template
    from tubcare.values import TubProfile


class TemplateError(InputError):
    """A template file cannot be used.

    Parameters
    ----------
    file
        Name of the file.
    key
        Key of the template or caution, empty where the file as a whole is meant.
    reason
        The field and what is wrong with it.
    """

    def __init__(self, file: str, key: str, reason: str) -> None:
        self.file = file
        self.key = key
        super().__init__(f"{file}, {key}" if key else file, reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateSet:
    """The templates in the order of the files, and the cautions by key."""

    templates: tuple[Template, ...]
    cautions: Mapping[str, Caution]

    def __iter__(self) -> Iterator[Template]:
        return iter(self.templates)

    def __len__(self) -> int:
        return len(self.templates)

    def fitting(self, profile: TubProfile) -> tuple[Template, ...]:
        """Return the templates that a tub of this profile calls for."""
        return tuple(each for each in self.templates if each.when.holds(profile))

    def caution_texts(self) -> dict[str, str]:
        """Return the text of each caution by its key."""
        return {key: caution.text for key, caution in self.cautions.items()}


def load_templates(texts: Mapping[str, str]) -> TemplateSet:
    """Return what the given TOML files hold.

    Parameters
    ----------
    texts
        The text of each file by its name; ``cautions.toml`` holds the cautions.

    Raises
    ------
    TemplateError
        Naming the file, the key of the template, and the field that cannot be used.
    """
    tables = {file: _parsed(file, texts[file]) for file in sorted(texts)}
    cautions = _cautions(tables.pop(CAUTIONS_FILE, {}))
    found: dict[str, Template] = {}
    for file, table in tables.items():
        for template in _templates(file, table):
            if template.key in found:
                raise TemplateError(file, template.key, "key: there is another one of that name")
            for key in template.card.all_cautions:
                if key not in cautions:
                    raise TemplateError(file, template.key, f"cautions: {key!r} is not known")
            found[template.key] = template
    return TemplateSet(templates=tuple(found.values()), cautions=MappingProxyType(cautions))


def rules_for(template: Template, profile: TubProfile) -> dict[str, object]:
    """Return the template's rules for one tub, in the data form of `rules_from_data`.

    Calendar rules take the months of the tub's hemisphere and have no start of their own; use that
    goes by the size of the tub becomes a whole amount, at least 1.
    """
    south = is_southern(profile)
    triggers: list[dict[str, object]] = []
    for trigger in template.triggers:
        data = dict(trigger)
        rule_south = data.pop("rule_south", None)
        if south and rule_south is not None:
            data["rule"] = rule_south
        if "per_litre" in data:
            per_litre = fields.number(data, "per_litre")
            del data["per_litre"]
            data["amount"] = float(max(1, round(per_litre * profile.volume_l)))
        triggers.append(data)
    return {"triggers": triggers, **template.rules}


def _parsed(file: str, text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TemplateError(file, "", f"is no TOML: {error}") from error


def _cautions(table: Mapping[str, object]) -> dict[str, Caution]:
    found = {}
    for key in table:
        try:
            found[key] = read_caution(key, fields.table(table, key))
        except InputError as error:
            raise TemplateError(CAUTIONS_FILE, key, str(error)) from error
    return found


def _templates(file: str, table: Mapping[str, object]) -> Iterator[Template]:
    try:
        fields.only(table, {"category", "task"})
        listed = fields.need(table, "task")
    except InputError as error:
        raise TemplateError(file, "", str(error)) from error
    if not isinstance(listed, list):
        raise TemplateError(file, "", "task: write [[task]] tables")
    category = table.get("category")
    for number, item in enumerate(listed, 1):
        key = f"task {number}"
        try:
            data = dict(fields.as_table("task", item))
            key = fields.text(data, "key")
            if category is not None:
                data.setdefault("category", category)
            yield read_template(data)
        except (InputError, OutOfRangeError) as error:
            raise TemplateError(file, key, str(error)) from error
