"""The cautions of every product, read once."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from tubcare.resource_files import read_text
from tubcare.water.cautions import parse_cautions

if TYPE_CHECKING:
    from tubcare.water.cautions import CautionBook


@lru_cache(maxsize=1)
def caution_book() -> CautionBook:
    """Return the cautions of every product."""
    return parse_cautions(read_text("water/cautions.toml"))
