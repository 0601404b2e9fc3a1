"""Daily minima that are made up, so that their frost dates are known beforehand."""

from __future__ import annotations

from datetime import date, timedelta

FIRST_YEAR = 1996


def minima_csv(
    years: int = 20, *, unit: str = "C", shift_days: int = 0, name: str = "tmin"
) -> str:
    """Return daily minima by date: the first frost of season n falls on 1 October + n days.

    A frost below -5 °C follows four weeks later, the last frost lies on 1 April in every season.
    """
    lines = [f"date,{name} ({unit})" if unit else f"date,{name}"]
    day = date(FIRST_YEAR, 7, 1)
    while day < date(FIRST_YEAR + years, 7, 1):
        value = _minimum(day, shift_days)
        shown = value * 9 / 5 + 32 if unit == "F" else value
        lines.append(f"{day.isoformat()},{shown:.1f}")
        day += timedelta(days=1)
    return "\n".join(lines) + "\n"


def without(text: str, first: date, days: int) -> str:
    """Return a file with the rows of some days left out."""
    gone = {(first + timedelta(days=n)).isoformat() for n in range(days)}
    return "\n".join(line for line in text.splitlines() if line[:10] not in gone) + "\n"


def _minimum(day: date, shift_days: int) -> float:
    season = day.year if day.month >= 7 else day.year - 1
    first = date(season, 10, 1) + timedelta(days=season - FIRST_YEAR + shift_days)
    if day < first or day > date(season + 1, 4, 1):
        return 6.0
    return -1.0 if day < first + timedelta(days=28) else -6.0
