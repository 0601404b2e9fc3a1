"""How exported tables write the half of the day and the offset from UTC behind a clock time."""

from __future__ import annotations

from datetime import timedelta

# One group: the letter of am or pm.
HALF_OF_DAY = r"(?:\s*([AaPp])\.?[Mm]\b\.?)?"
# Three groups: a name of UTC; else the signed hours and the minutes of an offset.
OFFSET = r"\s*(?:(Z|UTC|GMT)\b|([+-]\d{2}):?(\d{2})\b)?"
_DAY = timedelta(days=1)


def on_24_hours(hour: int, half: str | None) -> int:
    """Return the hour on a clock of 24 hours. [h].

    Raises nothing.

    Parameters
    ----------
    hour
        As written. [h], 0..99
    half
        What `HALF_OF_DAY` found; without it the hour stays as it is.

    References
    ----------
    Common practice, no source: 12 am begins the day and 12 pm its second half.
    """
    if not half:
        return hour
    return hour % 12 + (12 if half in "Pp" else 0)


def written_offset(hours: str, minutes: str) -> timedelta | None:
    """Return the offset from UTC that `OFFSET` found.

    None where it comes to a day or more, which is no clock's offset. Raises nothing for
    what the pattern finds.

    Parameters
    ----------
    hours, minutes
        As written, such as -09 and 30: the sign counts for both.

    References
    ----------
    ISO 8601.
    """
    sign = -1 if hours.startswith("-") else 1
    offset = timedelta(hours=int(hours), minutes=sign * int(minutes))
    return offset if abs(offset) < _DAY else None
