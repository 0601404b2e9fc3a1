"""What a report is made of, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from tubcare.desktop.plain_table import PlainTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing with what is to be seen on it in words."""

    image: QImage
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A heading with what stands below it: text, a picture, a table."""

    heading: str
    text: tuple[str, ...] = ()
    picture: Picture | None = None
    table: PlainTable | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A document: upright pages first, then wide tables on pages that lie.

    `footer` stands at the bottom of each page, beside its number.
    """

    title: str
    subtitle: tuple[str, ...]
    upright: tuple[Part, ...]
    lying: tuple[Part, ...]
    footer: str
    letter_paper: bool = False
