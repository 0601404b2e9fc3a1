"""A tub's build as a table that a spreadsheet opens safely."""

from __future__ import annotations

import math
from dataclasses import fields
from enum import Enum
from typing import TYPE_CHECKING

from tubcare.energy.from_profile import Described
from tubcare.exchange.cells import safe_cell, table_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.services.power_change import BuildShown


def build_csv(shown: BuildShown) -> str:
    """Return each part of a build, whether a person told it, and what follows from all of them.

    Units stand in the names of the parts; layers are material and millimetres from the water
    outwards.
    """
    return table_text(_rows(shown))


def _rows(shown: BuildShown) -> Iterator[list[str]]:
    yield ["part", "value", "rests on"]
    build = shown.build
    yield ["volume_l", f"{build.profile.volume_l:g}", "profile"]
    for each in fields(Described):
        told = "told" if each.name in build.told else "profile"
        yield [each.name, _text(getattr(build.described, each.name)), told]
    yield ["leak_w_k", f"{shown.leak_w_k:.3f}", "model"]
    yield ["lid_share", f"{shown.lid_share:.4f}", "model"]
    name = f"pull_down_h from {shown.fill_c:g} C in air of {shown.air_c:g} C"
    hours = shown.pull_down
    if hours is None:
        yield [name, "never", "model"]
        return
    for end, value in (("", hours.value), (" low", hours.low), (" high", hours.high)):
        yield [f"{name}{end}", "never" if math.isinf(value) else f"{value:.2f}", "model"]


def _text(value: object) -> str:
    if isinstance(value, tuple):
        return "; ".join(f"{safe_cell(material)} {mm:g}" for material, mm in value)
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, str):
        return safe_cell(value)
    return "" if value is None else f"{value:g}"
