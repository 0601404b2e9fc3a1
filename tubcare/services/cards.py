"""What a task says beyond its schedule: steps, cautions, tools, where its numbers come from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step; `wait_after_h` hours have to pass before the next."""

    text: str
    wait_after_h: float = 0.0
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The description of a task. `cautions` are keys of the caution texts."""

    why: str = ""
    steps: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    supplies: tuple[tuple[str, float, str], ...] = ()
    sources: tuple[str, ...] = ()


EMPTY_CARD = Card()


def card_to_data(card: Card) -> dict[str, Any]:
    """Return the card as plain data for JSON."""
    return {
        "why": card.why,
        "steps": [[s.text, s.wait_after_h, list(s.cautions)] for s in card.steps],
        "cautions": list(card.cautions),
        "tools": list(card.tools),
        "needs": list(card.needs),
        "supplies": [list(supply) for supply in card.supplies],
        "sources": list(card.sources),
    }


def card_from_data(data: dict[str, Any]) -> Card:
    """Return the card that `card_to_data` wrote; what is missing is empty."""
    return Card(
        why=data.get("why", ""),
        steps=tuple(
            Step(text=text, wait_after_h=wait, cautions=tuple(cautions))
            for text, wait, cautions in data.get("steps", ())
        ),
        cautions=tuple(data.get("cautions", ())),
        tools=tuple(data.get("tools", ())),
        needs=tuple(data.get("needs", ())),
        supplies=tuple(
            (name, quantity, unit) for name, quantity, unit in data.get("supplies", ())
        ),
        sources=tuple(data.get("sources", ())),
    )
