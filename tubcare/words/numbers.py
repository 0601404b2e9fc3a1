"""Numbers for people: shown by the locale's habits, and read back without guessing."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.words.locale import Speech

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
MOST_DIGITS = 20
_FIRST_MARK = 1000
"""From here on marks stand between the digits."""

_MINUSES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2212\ufe63\uff0d"), "-")
_APOSTROPHES = dict.fromkeys(map(ord, "\u2018\u2019\u02bc\u00b4\uff07"), "'")
# Marks that steer writing direction; they show nothing.
_UNSEEN = dict.fromkeys(map(ord, "\u200c\u200e\u200f\u061c\u202a\u202b\u202c\u2066\u2067\u2069"))
_LOOKALIKES = {**_MINUSES, **_APOSTROPHES, **_UNSEEN, 0x066B: ".", 0x066C: ",", 0xFF0E: "."}
_SHAPE = re.compile(r"-?[0-9][0-9 '.,]*|-?[.,][0-9]+", re.ASCII)


def number(speech: Speech, value: float | Decimal, decimals: int | None = None) -> str:
    """Return a number by the locale's habits.

    Parameters
    ----------
    value
        A finite number.
    decimals
        Digits after the decimal sign, rounded half even; None shows all that `value` has.
    """
    if type(value) is int and not decimals and 0 <= value < _FIRST_MARK:
        # Every locale writes these alike; lists count days by the hundred.
        return str(value)
    from babel.numbers import format_decimal  # noqa: PLC0415  Babel costs 20 ms

    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    if decimals is not None:
        exact = round(exact, decimals)
    if not exact:
        # Nothing is shown below nothing.
        exact = abs(exact)
    places = max(0, _places(exact)) if decimals is None else decimals
    pattern = f"#,##0.{'0' * places}" if places else "#,##0"
    if _parts_by_two(speech):
        pattern = f"#,##,{pattern[2:]}"
    return format_decimal(exact, format=pattern, locale=speech.formats)


def plain_number(speech: Speech, value: float | Decimal, decimals: int | None = None) -> str:
    """Return a number as `number` does, without marks between thousands: for entry fields."""
    symbols = speech.formats.number_symbols["latn"]
    shown = number(speech, value, decimals)
    return shown.replace(symbols["group"], "")


def percent(speech: Speech, share: float | Decimal, decimals: int = 0) -> str:
    """Return a share of one as a percentage: 0.25 is 25 %."""
    from babel.numbers import format_percent  # noqa: PLC0415  Babel costs 20 ms

    pattern = speech.formats.percent_formats[None].pattern
    if decimals:
        pattern = pattern.replace("##0", f"##0.{'0' * decimals}")
    return format_percent(Decimal(repr(float(share))), format=pattern, locale=speech.formats)


def parse_number(
    speech: Speech, field: str, text: str, *, max_decimals: int | None = None
) -> Decimal:
    """Return the number that a person typed.

    What `number` shows is taken, and the same without marks between thousands; so are any kind of
    minus, space and apostrophe. A sign that could mean two things is refused, with what was
    understood: ``12.34`` where the point parts thousands.

    Raises
    ------
    InputError
        For anything that is not one certain finite number, or has more than `max_decimals`.
    """
    plain = normalised(text)
    if not plain:
        raise InputError(field, speech.say("write a number"))
    if not _SHAPE.fullmatch(plain) or sum(map(str.isdigit, plain)) > MOST_DIGITS:
        raise InputError(field, speech.say("“{text}” is not a number", text=text.strip()[:60]))
    sign, digits = ("-", plain[1:]) if plain.startswith("-") else ("", plain)
    whole, fraction = _parted(speech, field, digits)
    if max_decimals is not None and len(fraction) > max_decimals:
        raise InputError(field, _too_fine(speech, plain, max_decimals))
    return Decimal(f"{sign}{whole or '0'}.{fraction or '0'}").normalize() + 0


def parse_whole(speech: Speech, field: str, text: str) -> int:
    """Return the whole number that a person typed; raises like `parse_number`."""
    return int(parse_number(speech, field, text, max_decimals=0))


def normalised(text: str) -> str:
    """Return typed text with one kind of digit, minus, apostrophe and space."""
    digits = (
        str(unicodedata.decimal(char)) if unicodedata.decimal(char, None) is not None else char
        for char in text.translate(_LOOKALIKES)
    )
    spaced = "".join(" " if unicodedata.category(c) in {"Zs", "Cc"} else c for c in digits)
    return re.sub(r"^- (?=[0-9])", "-", " ".join(spaced.split()))


def separators(speech: Speech) -> tuple[str, str]:
    """Return the locale's decimal sign and its thousands' mark, as `normalised` has them."""
    symbols = speech.formats.number_symbols["latn"]
    group = " " if symbols["group"].isspace() else normalised(symbols["group"])
    return normalised(symbols["decimal"]), group


def _parted(speech: Speech, field: str, digits: str) -> tuple[str, str]:
    """Return the digits before and after the decimal sign."""
    decimal, group = separators(speech)
    head, sign, fraction = digits.partition(decimal)
    if not sign and group not in ".," and (other := ".,".replace(decimal, "")) in digits:
        # A sign that means nothing here can only be a decimal sign, unless three digits follow it.
        head, sign, fraction = digits.partition(other)
        if len(fraction) == 3:
            raise InputError(field, _unsure(speech, digits, other))
    if sign and not fraction.isdigit():
        raise InputError(field, _unsure(speech, digits, decimal))
    for mark in (group, " ", "'"):
        if mark in head:
            if mark == decimal or not _is_grouped(speech, head, mark):
                raise InputError(field, _unsure(speech, digits, mark))
            return head.replace(mark, ""), fraction
    if head and not head.isdigit():
        raise InputError(field, _unsure(speech, digits, decimal))
    return head, fraction


def _is_grouped(speech: Speech, head: str, mark: str) -> bool:
    """Return whether marks stand before every third digit, or as the locale sets them."""
    first, *middle, last = head.split(mark)
    if not all(piece.isdigit() for piece in (first, *middle, last)) or first.startswith("0"):
        return False
    sizes = {3, 2} if _parts_by_two(speech) else {3}
    return len(last) == 3 and any(
        len(first) <= size and all(len(piece) == size for piece in middle) for size in sizes
    )


def _parts_by_two(speech: Speech) -> bool:
    """Return whether the locale writes 12,34,567, as in India."""
    return "#,##,##0" in speech.formats.decimal_formats[None].pattern


def _unsure(speech: Speech, digits: str, mark: str) -> str:
    """Say what a doubtful number could mean and how to write each meaning."""
    head, _, fraction = digits.partition(mark)
    if mark not in ".," or not (head.isdigit() and fraction.isdigit()):
        return speech.say("“{text}” is not a number", text=digits)
    return speech.say(
        "“{text}” can be read in two ways; write {fraction} or {whole}",
        text=digits,
        fraction=plain_number(speech, Decimal(f"{head}.{fraction}")),
        whole=plain_number(speech, Decimal(f"{head}{fraction}")),
    )


def _too_fine(speech: Speech, text: str, max_decimals: int) -> str:
    if max_decimals == 0:
        return speech.say("“{text}” is not a whole number", text=text)
    return speech.say_count(
        "“{text}” has more than {n} digit after the decimal sign",
        "“{text}” has more than {n} digits after the decimal sign",
        max_decimals,
        text=text,
    )


def _places(exact: Decimal) -> int:
    exponent = exact.normalize().as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 0
