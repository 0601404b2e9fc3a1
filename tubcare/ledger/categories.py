"""Kinds of spending."""

from __future__ import annotations

from enum import StrEnum


class SpendCategory(StrEnum):
    """What an amount was for."""

    POWER = "power"
    WATER = "water"
    CHEMICALS = "chemicals"
    TESTING = "testing"
    FILTERS = "filters"
    PARTS = "parts"
    REPAIRS = "repairs"
    WOOD_CARE = "wood_care"
    BUILD = "build"
    TOOLS = "tools"
    OTHER = "other"
