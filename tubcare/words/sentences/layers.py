"""Layers of a wall as people write them: XPS 80, softwood 20."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.words.lists import all_of
from tubcare.words.numbers import parse_number, plain_number
from tubcare.words.power_terms import material_word

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.words.locale import Speech

_LAYER = re.compile(r"\s*(?P<name>.*?)\s+(?P<mm>[\d.,]+)\s*(?:mm)?\s*$", re.IGNORECASE)


def example_layers(speech: Speech) -> str:
    """Return two layers as a person of this language would type them."""
    keys = ("xps", "softwood")
    names = {key: material_word(speech, key) for key in keys}
    return layers_text(speech, tuple(zip(keys, (80.0, 20.0), strict=True)), names)


def layers_text(
    speech: Speech, layers: Sequence[tuple[str, float]], names: Mapping[str, str]
) -> str:
    """Return layers as they would be typed."""
    return "; ".join(f"{names.get(key, key)} {plain_number(speech, mm)}" for key, mm in layers)


def parse_layers(
    speech: Speech, field: str, text: str, names: Mapping[str, str]
) -> tuple[tuple[str, float], ...]:
    """Return the layers that a person typed, parted by semicolons or by commas and blanks.

    Raises
    ------
    InputError
        For a material that is not known, naming those that are, or a layer without millimetres.
    """
    found = []
    for part in re.split(r";|,\s+", text):
        if not part.strip():
            continue
        match = _LAYER.match(part)
        if match is None:
            raise InputError(
                field, speech.say("write each layer as its material and millimetres: XPS 80")
            )
        found.append(
            (
                _material(speech, field, match["name"], names),
                float(parse_number(speech, field, match["mm"])),
            )
        )
    return tuple(found)


def _material(speech: Speech, field: str, name: str, names: Mapping[str, str]) -> str:
    wanted = name.casefold()
    for key, known in names.items():
        if wanted in {key.casefold(), key.replace("_", " "), known.casefold()}:
            return key
    near = [key for key, known in names.items() if wanted in f"{key} {known}".casefold()]
    if len(near) == 1:
        return near[0]
    raise InputError(
        field,
        speech.say(
            "“{name}” is not known; write one of {names}",
            name=name,
            names=all_of(speech, list(names.values())),
        ),
    )
