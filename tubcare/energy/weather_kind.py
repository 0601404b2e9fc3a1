"""Where weather comes from."""

from __future__ import annotations

from enum import StrEnum


class WeatherKind(StrEnum):
    """Where weather comes from; what it may be used for depends on it."""

    MEASURED = "measured"
    TYPICAL_YEAR = "typical_year"  # months picked to be average: no spread between years
    MONTHLY_MEANS = "monthly_means"
