"""Materials, named build-ups and cautions, read from the text of their data files."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.construction import Layer, solid_layer
from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Conductivity of a material and its usual range. [W m⁻¹ K⁻¹]."""

    key: str
    conductivity_w_mk: float
    low_w_mk: float
    high_w_mk: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUp:
    """A named wall or lid: its layers from the water outwards."""

    key: str
    part: str
    layers: tuple[Layer, ...]


class Topic(StrEnum):
    """What a caution is about."""

    COLD_WATER = "cold_water"
    ELECTRICITY = "electricity"
    REFRIGERANT = "refrigerant"
    EVAPORATOR = "evaporator"
    FROST = "frost"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution: its key, topic, text in plain words, and source."""

    key: str
    topic: Topic
    text: str
    source: str


def _tables(text: str, name: str) -> Mapping[str, Mapping[str, object]]:
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as exc:
        raise InputError(name, f"the data file cannot be read: {exc}") from exc
    tables = content.get(name)
    if not isinstance(tables, dict) or not all(isinstance(t, dict) for t in tables.values()):
        raise InputError(name, f"the data file has no tables under “{name}”")
    return tables


def _word(table: Mapping[str, object], key: str) -> str:
    value = table.get(key)
    if not isinstance(value, str) or not value:
        raise InputError(key, "must be a text")
    return value


def _figure(table: Mapping[str, object], key: str) -> float:
    value = table.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(key, "must be a number")
    return float(value)


def read_materials(text: str) -> tuple[Material, ...]:
    """Return the materials of `resources/energy/materials.toml`.

    Parameters
    ----------
    text
        Of the file; conductivities in [W m⁻¹ K⁻¹], 0.005..400.

    Raises
    ------
    InputError
        If the text is no such file.
    OutOfRangeError
        If a conductivity lies outside its range.

    References
    ----------
    Each material names its own in the file.
    """
    found = []
    for key, table in _tables(text, "material").items():
        material = Material(
            key=key,
            conductivity_w_mk=_figure(table, "conductivity_w_mk"),
            low_w_mk=_figure(table, "low_w_mk"),
            high_w_mk=_figure(table, "high_w_mk"),
            source=_word(table, "source"),
        )
        require("low_w_mk", material.low_w_mk, 0.005, material.conductivity_w_mk)
        require("high_w_mk", material.high_w_mk, material.conductivity_w_mk, 400.0)
        found.append(material)
    return tuple(found)


def read_build_ups(text: str, materials: tuple[Material, ...]) -> tuple[BuildUp, ...]:
    """Return the named build-ups of `resources/energy/build_ups.toml`.

    Parameters
    ----------
    text
        Of the file; thicknesses in [mm], 0.1..1000.
    materials
        That a layer may name.

    Raises
    ------
    InputError
        If the text is no such file or names an unknown material.
    OutOfRangeError
        If a layer lies outside its range.

    References
    ----------
    Own choice of ordinary build-ups.
    """
    by_key = {material.key: material for material in materials}
    found = []
    for key, table in _tables(text, "build_up").items():
        raw = table.get("layers")
        if not isinstance(raw, list) or not raw:
            raise InputError("layers", f"the build-up {key} has no layers")
        layers = tuple(_layer(layer, by_key) for layer in raw)
        found.append(BuildUp(key=key, part=_word(table, "part"), layers=layers))
    return tuple(found)


def _layer(raw: object, by_key: Mapping[str, Material]) -> Layer:
    if not isinstance(raw, dict):
        raise InputError("layers", "each layer is a table")
    if "resistance_m2k_w" in raw:
        return Layer(resistance_m2k_w=_figure(raw, "resistance_m2k_w"))
    name = _word(raw, "material")
    if name not in by_key:
        raise InputError("material", f"“{name}” is not among the materials")
    return solid_layer(
        thickness_m=_figure(raw, "thickness_mm") / 1000.0,
        conductivity_w_mk=by_key[name].conductivity_w_mk,
    )


def read_cautions(text: str) -> tuple[Caution, ...]:
    """Return the cautions of `resources/energy/cautions.toml`.

    Parameters
    ----------
    text
        Of the file.

    Raises
    ------
    InputError
        If the text is no such file.

    References
    ----------
    Each caution names its own in the file.
    """
    found = []
    for topic, group in _tables(text, "caution").items():
        for name, table in group.items():
            if not isinstance(table, dict):
                raise InputError("caution", f"{topic}.{name} is no table")
            found.append(
                Caution(
                    key=f"{topic}.{name}",
                    topic=Topic(topic),
                    text=_word(table, "text"),
                    source=_word(table, "source"),
                )
            )
    return tuple(found)
