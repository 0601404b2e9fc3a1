"""What a value that nobody read again has come to, by what went into the water since.

Only what stays in the water until it is changed: alkalinity, calcium, chloride, cyanurate, borate
and all that is dissolved. Every dose is taken as used up, and evaporation as nil, as under a lid.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.water import masses
from tubcare.water.judged import FIELD_OF_READING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import datetime

    from tubcare.water.compounds import Effect
    from tubcare.water.judged import Sighting
    from tubcare.water.reading import WaterTest

# Less than this is no news [mg/L]. Own choice.
_NEWS_MG_L: Final = 0.5
# What no tap, well or rain brings to speak of. Common practice, no source.
_NOT_IN_FILL: Final = frozenset({"cyanuric_acid_mg_l", "boron_mg_l"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """A dose: so many mmol/L of an effect."""

    at: datetime
    effect: Effect
    mmol_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Freshened:
    """Fresh water: the share of the tub that it replaced. [-], 0..1."""

    at: datetime
    share: float


def carried(
    sightings: Mapping[str, Sighting],
    events: Iterable[Added | Freshened],
    *,
    fill: WaterTest | None,
    renewed_at: datetime | None,
) -> dict[str, float]:
    """Return what moved since it was last read, by field of a test. [mg/L].

    Where a value was never read of this water it starts at that of the fill water when the water
    was new; cyanurate and borate start at nothing where the fill water was not tested.

    References
    ----------
    Mass balance; dilution c' = (1 - f) c + f c_fill. HOCl -> Cl- + H+: used up, a mole of chlorine
    leaves one of chloride and takes one equivalent of alkalinity (`chlorine_used`).
    """
    ordered = sorted(events, key=lambda event: event.at)
    names = {field: name for name, field in FIELD_OF_READING.items()}
    found = {}
    for field, gain in _GAINS.items():
        seen = sightings.get(names[field])
        fresh = _of_fill(fill, field)
        start = seen.value if seen is not None else fresh
        since = seen.at if seen is not None else renewed_at
        if start is None or since is None:
            continue
        value = start
        for event in ordered:
            if event.at <= since:
                continue
            if isinstance(event, Added):
                value = max(0.0, value + gain(event.effect) * event.mmol_l)
            elif fresh is not None:
                value += event.share * (fresh - value)
        if abs(value - start) >= _NEWS_MG_L:
            found[field] = value
    return found


def _of_fill(fill: WaterTest | None, field: str) -> float | None:
    if fill is None:
        return 0.0 if field in _NOT_IN_FILL else None
    value: float | None = getattr(fill, field)
    return value


def _alkalinity(effect: Effect) -> float:
    return (effect.alkalinity - effect.chlorine - effect.bromine) * masses.ALKALINITY_EQUIVALENT


def _calcium(effect: Effect) -> float:
    return effect.calcium * masses.CALCIUM_CARBONATE


def _chloride(effect: Effect) -> float:
    return (effect.chloride + effect.chlorine) * masses.CL


def _cyanurate(effect: Effect) -> float:
    return effect.cyanurate * masses.CYANURIC_ACID


def _boron(effect: Effect) -> float:
    return effect.boron * masses.B


def _solids(effect: Effect) -> float:
    """Return the gain of all that is dissolved, the alkalinity counted as bicarbonate."""
    return (
        effect.sodium * masses.NA
        + effect.calcium * masses.CA
        + effect.sulfate * masses.SULFATE
        + effect.bromine * masses.BR
        + _chloride(effect)
        + _cyanurate(effect)
        + _alkalinity(effect) / masses.ALKALINITY_EQUIVALENT * masses.BICARBONATE
    )


_GAINS: Final[Mapping[str, Callable[[Effect], float]]] = {
    "alkalinity_mg_l": _alkalinity,
    "calcium_mg_l": _calcium,
    "chloride_mg_l": _chloride,
    "cyanuric_acid_mg_l": _cyanurate,
    "boron_mg_l": _boron,
    "tds_mg_l": _solids,
}
