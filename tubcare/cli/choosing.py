"""A word on the command line as a member of a closed set."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from tubcare.errors import InputError

if TYPE_CHECKING:
    from enum import StrEnum

E = TypeVar("E", bound="StrEnum")


def member(kind: type[E], field: str, text: str) -> E:
    """Return the member that a word names; raise `InputError`, naming all, for any other."""
    try:
        return kind(text.strip().casefold())
    except ValueError as error:
        known = ", ".join(each.value for each in kind)
        raise InputError(field, f"“{text}” is not known; choose from {known}") from error
