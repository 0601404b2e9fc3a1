"""What a use case changed, in the nouns that screens show."""

from __future__ import annotations

from enum import StrEnum


class Topic(StrEnum):
    """A noun that an open view may have to show anew."""

    TUBS = "tubs"
    TASKS = "tasks"
    UPKEEP = "upkeep"
    MEASURES = "measures"
    MONEY = "money"
    STOCK = "stock"
    PEOPLE = "people"
    REMINDERS = "reminders"
    SETTINGS = "settings"


Topics = frozenset[Topic]
EVERYTHING: Topics = frozenset(Topic)
