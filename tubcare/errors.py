"""Errors that the program raises on purpose.

TubcareError
├── OutOfRangeError     a number outside the range in which a formula or field holds
├── InputError          a field that a person filled in cannot be used
├── RuleError           what was asked breaks a rule of the logbook
│   ├── NotFoundError       the thing named is not there (any more)
│   ├── AlreadyDoneError    that occurrence was closed before, perhaps by somebody else
│   │   └── StepDoneError       that step of the dosing plan was ticked before
│   └── DependentFactError  a later fact depends on the one to be taken back
└── StoreError          the logbook could not be read or written; nothing was changed
    ├── StoreTooNewError    written by a later version of the program
    ├── StoreBusyError      another program holds it
    ├── StoreDamagedError   not a logbook, or damaged
    ├── StoreFullError      no room left on the disk
    ├── StoreReadOnlyError  the file or folder may not be written
    └── StorePlaceError     the place cannot hold a logbook (missing, network drive)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


class TubcareError(Exception):
    """Base of every error that a caller may want to catch."""


class OutOfRangeError(TubcareError, ValueError):
    """A value lies outside the range in which a formula or field holds.

    Parameters
    ----------
    name
        Parameter name as the caller wrote it, with its unit suffix.
    value
        The value that was given.
    low, high
        The closed range that is allowed, in the parameter's own unit.
    """

    def __init__(self, name: str, value: float, low: float, high: float) -> None:
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        super().__init__(f"{name} is {value:g}; it must lie in {low:g}..{high:g}")


class InputError(TubcareError, ValueError):
    """A field cannot be used as it was filled in.

    Parameters
    ----------
    field
        Name of the field or of the part of a rule.
    reason
        What is wrong and what would be right, in words a person can act on.
    """

    def __init__(self, field: str, reason: str) -> None:
        self.field = field
        self.reason = reason
        super().__init__(f"{field}: {reason}")


class RuleError(TubcareError):
    """What was asked breaks a rule of the logbook."""


class NotFoundError(RuleError):
    """The thing named is not in the logbook (any more)."""

    def __init__(self, kind: str, name: object) -> None:
        self.kind = kind
        self.name = name
        super().__init__(f"{kind} {name} is not in this logbook")


class NothingLeftError(NotFoundError):
    """There is no action to take back or to do again."""

    def __init__(self, wanted: str) -> None:
        super().__init__("action", f"to {wanted}")
        self.args = (f"there is nothing to {wanted}",)


class AlreadyDoneError(RuleError):
    """That occurrence was closed before; `who` is None where nobody's name is kept with it."""

    def __init__(self, title: str, who: str | None, when: datetime) -> None:
        self.title = title
        self.who = who
        self.when = when
        by = "" if who is None else f" by {who}"
        super().__init__(f"“{title}” was already closed{by} at {when:%Y-%m-%d %H:%M} UTC")


class StepDoneError(AlreadyDoneError):
    """That step of the dosing plan was ticked before."""

    def __init__(self, number: int, who: str | None, when: datetime) -> None:
        self.number = number
        super().__init__(f"step {number}", who, when)


class DependentFactError(RuleError):
    """A later fact depends on the one to be taken back.

    Parameters
    ----------
    label
        What was to be taken back.
    dependent
        The later fact that stands on it.
    """

    def __init__(self, label: str, dependent: str) -> None:
        self.label = label
        self.dependent = dependent
        super().__init__(f"{label} cannot be taken back: {dependent} depends on it")


class StoreError(TubcareError):
    """The logbook could not be read or written; nothing was changed.

    Parameters
    ----------
    place
        The file or address of the logbook.
    reason
        What happened and what to do, in words a person can act on.
    """

    def __init__(self, place: str, reason: str) -> None:
        self.place = place
        self.reason = reason
        super().__init__(f"{place}: {reason}")


class StoreTooNewError(StoreError):
    """The logbook was written by a later version of the program."""


class StoreBusyError(StoreError):
    """Another program holds the logbook."""


class StoreDamagedError(StoreError):
    """The file is not a logbook, or it is damaged."""


class StoreFullError(StoreError):
    """No room is left where the logbook lies."""


class StoreReadOnlyError(StoreError):
    """The file or its folder may not be written."""


class StoreUnreachableError(StoreError):
    """The server that holds the logbook does not answer, or lets nobody in."""


class StorePlaceError(StoreError):
    """The place cannot hold a logbook: missing, or a network drive."""
