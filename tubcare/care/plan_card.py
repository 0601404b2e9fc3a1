"""What a task says beyond its schedule: why, steps, cautions, tools, supplies, sources."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care import fields
from tubcare.care.terms import InspectionResult, TubState
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Mapping

CARD_VERSION = 1
LONGEST_WAIT_H = 24.0 * 60
PROCEDURE_WAIT_H = 12.0


class Need(StrEnum):
    """What has to hold while a task is done, the most laborious first."""

    TUB_EMPTY = "tub_empty"
    UNIT_OFF = "unit_off"
    TWO_PEOPLE = "two_people"
    DRY_WEATHER = "dry_weather"


class UsualAmount(NamedTuple):
    """What a task usually uses up: the supply, how much in which unit, what the money is for."""

    name: str
    quantity: float
    unit: str
    category: str = "other"

    @property
    def quantity_milli(self) -> int:
        """The quantity in thousandths of the unit."""
        return round(self.quantity * 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step; `wait_after_h` hours have to pass before the next. `cautions` are keys."""

    text: str
    wait_after_h: float = 0.0
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InputError("steps", "a step needs a text")
        if not 0 <= self.wait_after_h <= LONGEST_WAIT_H:
            raise OutOfRangeError("wait_after_h", self.wait_after_h, 0, LONGEST_WAIT_H)


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """The single task that an inspection with this result opens, due within so many days."""

    result: InspectionResult
    title: str
    within_days: int

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise InputError("follow_up", "a follow-up task needs a title")
        if not 0 <= self.within_days <= 366:
            raise OutOfRangeError("within_days", self.within_days, 0, 366)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskCard:
    """The description of a task. `cautions` are keys of the caution texts, `sources` sentences.

    `enters` is the state that the tub is in once the task is done, None for no change. `who` names
    the person who usually does it, empty for whoever has time.
    """

    why: str = ""
    who: str = ""
    steps: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()
    supplies: tuple[UsualAmount, ...] = ()
    sources: tuple[str, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    enters: TubState | None = None

    @property
    def all_cautions(self) -> tuple[str, ...]:
        """The cautions of the task and of its steps, each once, in the order of reading."""
        found = [*self.cautions, *(key for step in self.steps for key in step.cautions)]
        return tuple(dict.fromkeys(found))

    @property
    def waiting_h(self) -> float:
        """The hours that have to pass between the first step and the last."""
        return sum(step.wait_after_h for step in self.steps)

    @property
    def is_procedure(self) -> bool:
        """Whether its steps are ticked one by one: it turns the season, or waits over a night."""
        return self.enters is not None or self.waiting_h >= PROCEDURE_WAIT_H

    def follow_up(self, result: InspectionResult) -> FollowUp | None:
        """Return the task that an inspection with `result` opens, None for none."""
        return next((each for each in self.follow_ups if each.result is result), None)


EMPTY_CARD = TaskCard()


def card_to_data(card: TaskCard) -> dict[str, object]:
    """Return the card as plain data for JSON."""
    return {
        "version": CARD_VERSION,
        "why": card.why,
        "steps": [[step.text, step.wait_after_h, list(step.cautions)] for step in card.steps],
        "cautions": list(card.cautions),
        "tools": list(card.tools),
        "needs": [str(need) for need in card.needs],
        "supplies": [list(supply) for supply in card.supplies],
        "sources": list(card.sources),
        "follow_ups": [
            [str(each.result), each.title, each.within_days] for each in card.follow_ups
        ],
        "enters": None if card.enters is None else card.enters.value,
        **({"who": card.who} if card.who else {}),
    }


def card_from_data(data: Mapping[str, object]) -> TaskCard:
    """Return the card that `card_to_data` wrote; what is missing is empty.

    Raises
    ------
    InputError
        For a card of a later version, or naming the field that cannot be used.
    """
    version = fields.whole(data, "version") if "version" in data else CARD_VERSION
    if version > CARD_VERSION:
        raise InputError("version", f"a task card of version {version} needs a later program")
    return TaskCard(
        why=fields.text(data, "why") if "why" in data else "",
        who=fields.text(data, "who") if "who" in data else "",
        steps=tuple(_step(item) for item in _items(data, "steps")),
        cautions=_texts("cautions", data.get("cautions", [])),
        tools=_texts("tools", data.get("tools", [])),
        needs=tuple(_need(name) for name in _texts("needs", data.get("needs", []))),
        supplies=tuple(_supply(item) for item in _items(data, "supplies")),
        sources=_texts("sources", data.get("sources", [])),
        follow_ups=tuple(_follow_up(item) for item in _items(data, "follow_ups")),
        enters=fields.word(data, "enters", TubState) if data.get("enters") is not None else None,
    )


def _items(data: Mapping[str, object], name: str) -> list[object]:
    value = data.get(name, [])
    if not isinstance(value, list | tuple):
        raise InputError(name, "write a list")
    return list(value)


def _texts(name: str, value: object) -> tuple[str, ...]:
    if not isinstance(value, list | tuple) or not all(isinstance(item, str) for item in value):
        raise InputError(name, "write a list of texts")
    return tuple(value)


def _need(name: str) -> Need:
    try:
        return Need(name)
    except ValueError:
        raise InputError("needs", f"{name!r} is not one of {' '.join(Need)}") from None


def _step(item: object) -> Step:
    match item:
        case [str(text), int() | float() as wait, cautions]:
            return Step(text=text, wait_after_h=float(wait), cautions=_texts("cautions", cautions))
        case _:
            raise InputError("steps", "write text, hours to wait and cautions for each step")


def _supply(item: object) -> UsualAmount:
    match item:
        case [str(name), int() | float() as quantity, str(unit)]:
            return UsualAmount(name, quantity, unit)
        case [str(name), int() | float() as quantity, str(unit), str(category)]:
            return UsualAmount(name, quantity, unit, category)
        case _:
            raise InputError("supplies", "write name, quantity, unit and category for each")


def _follow_up(item: object) -> FollowUp:
    match item:
        case [str(result), str(title), int(days)] if result in set(InspectionResult):
            return FollowUp(result=InspectionResult(result), title=title, within_days=days)
        case _:
            raise InputError("follow_ups", "write result, title and days for each")
