"""Task templates, and which of them a tub's profile calls for."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from tubcare.care.model import Category
from tubcare.care.trigger_data import rules_from_data
from tubcare.errors import InputError
from tubcare.resource_files import resource_folder
from tubcare.services.cards import Card, Step
from tubcare.values import FilterKind, TubProfile

if TYPE_CHECKING:
    from pathlib import Path

PLAN_FOLDER = "plan"
CAUTIONS_FILE = "cautions.toml"
WINTER_LATITUDE_DEG = 40.0
_ANY = TubProfile(name="any")
_EPOCH = date(2000, 1, 1)
_RULES = (
    "triggers",
    "scope",
    "out_of_scope",
    "round_name",
    "minutes",
    "lead_days",
    "no_grace",
    "cosmetic",
    "safety",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualUse:
    """What a task usually uses up."""

    name: str
    quantity_milli: int
    unit: str
    category: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A piece of upkeep as the program proposes it. `rules` as `trigger_data` reads them."""

    key: str
    title: str
    category: Category
    rules: dict[str, Any]
    card: Card
    when: dict[str, list[Any]] = field(default_factory=dict)
    uses: tuple[UsualUse, ...] = ()
    starter: bool = False
    asks_last_done: bool = False


def load_templates(folder: Path | None = None) -> tuple[Template, ...]:
    """Return every template, in the order of the files.

    Raises
    ------
    InputError
        Naming the file, the template and the field that cannot be used.
    """
    place = resource_folder(PLAN_FOLDER) if folder is None else folder
    found: list[Template] = []
    for path in sorted(place.glob("*.toml")):
        if path.name == CAUTIONS_FILE:
            continue
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        found += [_template(path.name, entry) for entry in data.get("task", ())]
    keys = [template.key for template in found]
    twice = {key for key in keys if keys.count(key) > 1}
    if twice:
        raise InputError("key", f"there twice: {', '.join(sorted(twice))}")
    return tuple(found)


@lru_cache(maxsize=1)
def known_templates() -> tuple[Template, ...]:
    """Return the program's own templates."""
    return load_templates()


@lru_cache(maxsize=1)
def caution_texts() -> dict[str, str]:
    """Return the text of each caution by its key."""
    path = resource_folder(PLAN_FOLDER, CAUTIONS_FILE)
    texts: dict[str, str] = tomllib.loads(path.read_text(encoding="utf-8"))
    return texts


def fits(template: Template, profile: TubProfile) -> bool:
    """Return whether a profile calls for a template."""
    traits = traits_of(profile)
    return all(traits[name] in wanted for name, wanted in template.when.items())


def traits_of(profile: TubProfile) -> dict[str, object]:
    """Return what templates may ask about a profile."""
    latitude = profile.latitude_deg
    return {
        "liner": profile.liner.value,
        "cladding": profile.cladding.value,
        "sanitiser": profile.sanitiser.value,
        "filter_kind": profile.filter_kind.value,
        "lid": profile.lid.value,
        "pump": profile.pump_w > 0 or profile.filter_kind is not FilterKind.NONE,
        "chiller": profile.chiller_w > 0,
        "uv": profile.has_uv or profile.sanitiser.value == "uv",
        "ozone": profile.has_ozone or profile.sanitiser.value == "ozone",
        "winters": latitude is None or abs(latitude) >= WINTER_LATITUDE_DEG,
    }


def rules_on(template: Template, day: date) -> dict[str, Any]:
    """Return the rules of a template with its calendar triggers starting on a day."""
    triggers = [
        trigger | {"start": day.isoformat()} if trigger["kind"] == "calendar" else trigger
        for trigger in template.rules["triggers"]
    ]
    return template.rules | {"triggers": triggers}


def _template(file: str, data: dict[str, Any]) -> Template:
    key = data.get("key", "?")
    try:
        rules = {name: data[name] for name in _RULES if name in data}
        if "results" in data:
            rules["result_intervals"] = data["results"]
        template = Template(
            key=key,
            title=data["title"],
            category=Category(data["category"]),
            rules=rules,
            card=Card(
                why=data["why"],
                steps=tuple(_step(step) for step in data["steps"]),
                cautions=tuple(data.get("cautions", ())),
                tools=tuple(data.get("tools", ())),
                needs=tuple(data.get("needs", ())),
                sources=(data["source"],),
            ),
            when=data.get("when", {}),
            uses=tuple(_use(use) for use in data.get("supplies", ())),
            starter=data.get("starter", False),
            asks_last_done=data.get("ask", False),
        )
        from_epoch = rules_on(template, _EPOCH)
        rules_from_data(from_epoch, starts_on=_EPOCH)
        unknown = set(template.when) - set(traits_of(_ANY))
    except (KeyError, ValueError, TypeError) as error:
        raise InputError(f"{file}, {key}", f"cannot be used: {error}") from error
    if unknown:
        raise InputError(f"{file}, {key}", f"asks for unknown traits: {', '.join(unknown)}")
    return template


def _step(data: str | list[Any]) -> Step:
    if isinstance(data, str):
        return Step(text=data)
    text, wait = data
    return Step(text=text, wait_after_h=float(wait))


def _use(data: dict[str, Any]) -> UsualUse:
    return UsualUse(
        name=data["name"],
        quantity_milli=round(data["quantity"] * 1000),
        unit=data["unit"],
        category=data["category"],
    )
