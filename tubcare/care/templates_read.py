"""Reads one task template, or one caution, from its table; errors name the field."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.care import fields
from tubcare.care.model import Task
from tubcare.care.plan_card import FollowUp, Need, Step, TaskCard, UsualAmount
from tubcare.care.templates_when import When, read_when
from tubcare.care.terms import Category, InspectionResult, TubState
from tubcare.care.trigger_data import rules_from_data
from tubcare.errors import InputError, OutOfRangeError
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    Table = Mapping[str, object]

CAUTIONS_FILE = "cautions.toml"
ESTIMATES = "minutes, tools and usual quantities: common practice, no source"
_KEY = re.compile(r"[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)?")
_EPOCH = date(2000, 1, 1)
_RULES = {
    "scope": "scope",
    "out_of_scope": "out_of_scope",
    "tolerance": "tolerance",
    "results": "result_intervals",
    "round": "round_name",
    "minutes": "minutes",
    "lead_days": "lead_days",
    "no_grace": "no_grace",
    "cosmetic": "cosmetic",
    "safety": "safety",
}
_FIELDS = {
    *("key", "title", "category", "why", "triggers", "steps", "cautions", "tools", "supplies"),
    *("needs", "when", "numbers", "follow_up", "enters", "starter", "ask_last_done"),
    *_RULES,
}
_LARGEST_QUANTITY = 1_000_000.0


class CautionKind(StrEnum):
    """What a caution warns of."""

    CHEMICALS = "chemicals"
    ELECTRICITY = "electricity"
    COLD_WATER = "cold_water"
    FROST = "frost"
    HANDLING = "handling"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution that is shown beside the step it belongs to, and where its wording rests on."""

    key: str
    kind: CautionKind
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberSource:
    """Numbers of a template as they are told, and the document that they come from."""

    value: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A piece of upkeep as the program proposes it.

    `triggers` and `rules` are plain data; `rules_for` makes them one tub's. A `starter` is in the
    plan from the first day; `asks_last_done` ones are asked about at first run.
    """

    key: str
    title: str
    category: Category
    triggers: tuple[Table, ...]
    rules: Table
    card: TaskCard
    when: When
    numbers: tuple[NumberSource, ...]
    starter: bool = False
    asks_last_done: bool = False


def read_caution(key: str, data: Table) -> Caution:
    """Return the caution that a table states."""
    fields.only(data, {"kind", "text", "source"})
    return Caution(
        key=key,
        kind=fields.word(data, "kind", CautionKind),
        text=_sentence(data, "text"),
        source=_sentence(data, "source"),
    )


def read_template(data: Table) -> Template:
    """Return the template that a table states.

    Raises
    ------
    InputError, OutOfRangeError
        Naming the field that cannot be used.
    """
    fields.only(data, _FIELDS)
    key = fields.text(data, "key")
    if not _KEY.fullmatch(key):
        raise InputError("key", f"{key!r} is not a key such as filter.rinse")
    triggers = tuple(_trigger(item) for item in _items(data, "triggers"))
    rules = {_RULES[name]: data[name] for name in _RULES if name in data}
    title = _sentence(data, "title")
    category = fields.word(data, "category", Category)
    _check_rules(title, category, triggers, rules)
    numbers = tuple(_number(item) for item in _items(data, "numbers"))
    return Template(
        key=key,
        title=title,
        category=category,
        triggers=triggers,
        rules=rules,
        card=_card(data, numbers),
        when=read_when(fields.table(data, "when")) if "when" in data else When(),
        numbers=numbers,
        starter=fields.yes(data, "starter"),
        asks_last_done=fields.yes(data, "ask_last_done"),
    )


def told_sources(
    numbers: Iterable[NumberSource], own: Callable[[str], str] = str
) -> tuple[str, ...]:
    """Return where each number comes from as a sentence; `own` puts its parts in words."""
    return (*(f"{own(each.value)}: {own(each.source)}" for each in numbers), own(ESTIMATES))


def _card(data: Table, numbers: tuple[NumberSource, ...]) -> TaskCard:
    follow_ups = fields.table(data, "follow_up") if "follow_up" in data else {}
    steps = tuple(_step(item) for item in _items(data, "steps"))
    if not steps:
        raise InputError("steps", "write at least one step")
    return TaskCard(
        why=_sentence(data, "why"),
        steps=steps,
        cautions=_texts(data, "cautions"),
        tools=_texts(data, "tools"),
        needs=tuple(_need(name) for name in _texts(data, "needs")),
        supplies=tuple(_supply(item) for item in _items(data, "supplies")),
        sources=told_sources(numbers),
        follow_ups=tuple(_follow_up(follow_ups, result) for result in follow_ups),
        enters=fields.word(data, "enters", TubState) if "enters" in data else None,
    )


def _trigger(item: object) -> Table:
    data = fields.as_table("triggers", item)
    if "per_litre" in data:
        per_litre = fields.number(data, "per_litre")
        if data.get("kind") != "use" or "amount" in data:
            raise InputError("per_litre", "stands in a use trigger, instead of the amount")
        if not 0 < per_litre <= 100:
            raise OutOfRangeError("per_litre", per_litre, 0, 100)
    if "rule_south" in data and data.get("kind") != "calendar":
        raise InputError("rule_south", "stands in a calendar trigger, beside the rule")
    return data


def _check_rules(
    title: str, category: Category, triggers: tuple[Table, ...], rules: Table
) -> None:
    """Read the rules as the tubs of both hemispheres get them, so that a mistake shows early."""
    for south in (False, True):
        read: list[dict[str, object]] = []
        for trigger in triggers:
            data = dict(trigger)
            rule_south = data.pop("rule_south", None)
            if south and rule_south is not None:
                data["rule"] = rule_south
            if data.pop("per_litre", None) is not None:
                data["amount"] = 1.0
            if "start" in data:
                raise InputError("start", "a template has none; the task's own start counts")
            read.append(data)
        found = rules_from_data({"triggers": read, **rules}, starts_on=_EPOCH)
        Task(
            id=TaskId(0),
            tub_id=TubId(0),
            title=title,
            category=category,
            starts_on=_EPOCH,
            **found,
        )


def _step(item: object) -> Step:
    if isinstance(item, str):
        return Step(text=item)
    data = fields.as_table("steps", item)
    fields.only(data, {"text", "wait_after_h", "cautions"})
    return Step(
        text=_sentence(data, "text"),
        wait_after_h=fields.number(data, "wait_after_h") if "wait_after_h" in data else 0.0,
        cautions=_texts(data, "cautions"),
    )


def _supply(item: object) -> UsualAmount:
    data = fields.as_table("supplies", item)
    fields.only(data, {"name", "quantity", "unit", "category"})
    quantity = fields.number(data, "quantity")
    if not 0.001 <= quantity <= _LARGEST_QUANTITY:
        raise OutOfRangeError("quantity", quantity, 0.001, _LARGEST_QUANTITY)
    return UsualAmount(
        _sentence(data, "name"), quantity, _sentence(data, "unit"), _sentence(data, "category")
    )


def _number(item: object) -> NumberSource:
    data = fields.as_table("numbers", item)
    fields.only(data, {"value", "source"})
    return NumberSource(value=_sentence(data, "value"), source=_sentence(data, "source"))


def _follow_up(data: Table, result: str) -> FollowUp:
    if result not in set(InspectionResult):
        raise InputError("follow_up", f"{result!r} is not one of {' '.join(InspectionResult)}")
    follow_up = fields.table(data, result)
    fields.only(follow_up, {"title", "within_days"})
    return FollowUp(
        result=InspectionResult(result),
        title=_sentence(follow_up, "title"),
        within_days=fields.whole(follow_up, "within_days"),
    )


def _need(name: str) -> Need:
    if name not in set(Need):
        raise InputError("needs", f"{name!r} is not one of {' '.join(Need)}")
    return Need(name)


def _items(data: Table, name: str) -> list[object]:
    value = data.get(name, [])
    if not isinstance(value, list):
        raise InputError(name, "write a list")
    return value


def _texts(data: Table, name: str) -> tuple[str, ...]:
    found = []
    for item in _items(data, name):
        if not isinstance(item, str) or not item.strip():
            raise InputError(name, "write a list of texts")
        found.append(item)
    return tuple(found)


def _sentence(data: Table, name: str) -> str:
    text = fields.text(data, name)
    if not text.strip():
        raise InputError(name, "is empty")
    return text
