"""Reading typed fields out of plain data; every error names the field."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, TypeVar

from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from enum import StrEnum

Word = TypeVar("Word", bound="StrEnum")


def only(data: Mapping[str, object], known: Collection[str]) -> None:
    """Raise InputError for a field that is not in `known`."""
    for name in data:
        if name not in known:
            raise InputError(name, f"is not one of {' '.join(sorted(known))}")


def need(data: Mapping[str, object], name: str) -> object:
    """Return the field, which must be there."""
    if name not in data:
        raise InputError(name, "is missing")
    return data[name]


def text(data: Mapping[str, object], name: str) -> str:
    """Return a field that holds text."""
    value = need(data, name)
    if not isinstance(value, str):
        raise InputError(name, "write a text")
    return value


def whole(data: Mapping[str, object], name: str) -> int:
    """Return a field that holds a whole number."""
    value = need(data, name)
    if not isinstance(value, int) or isinstance(value, bool):
        raise InputError(name, "write a whole number")
    return value


def number(data: Mapping[str, object], name: str) -> float:
    """Return a field that holds a number."""
    value = need(data, name)
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        raise InputError(name, "write a number")
    return value


def yes(data: Mapping[str, object], name: str) -> bool:
    """Return a field that holds true or false; false where it is missing."""
    value = data.get(name, False)
    if not isinstance(value, bool):
        raise InputError(name, "write true or false")
    return value


def day(data: Mapping[str, object], name: str) -> date:
    """Return a field that holds an ISO 8601 date."""
    written = text(data, name)
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise InputError(name, f"{written!r} is not a date such as 2026-05-01") from None


def word(data: Mapping[str, object], name: str, words: type[Word]) -> Word:
    """Return a field that holds one of a closed set of words."""
    written = text(data, name)
    try:
        return words(written)
    except ValueError:
        raise InputError(name, f"{written!r} is not one of {' '.join(words)}") from None


def as_table(name: str, value: object) -> Mapping[str, object]:
    """Return `value` as a table of fields."""
    if not isinstance(value, dict):
        raise InputError(name, "write a table of fields")
    return value


def table(data: Mapping[str, object], name: str) -> Mapping[str, object]:
    """Return a field that holds a table of fields."""
    return as_table(name, need(data, name))
