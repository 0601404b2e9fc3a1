"""The ranges in which a tub's water should lie."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.model import Range
from tubcare.values import Liner, Sanitiser

if TYPE_CHECKING:
    from tubcare.values import TubProfile

# pH 7.2 to 7.6: WHO Guidelines for safe recreational water environments, vol. 2 (2006), 4.7 (from
# memory); the upper end for aluminium is common practice, no source.
_PH = Range(low=7.2, high=7.6)
_PH_ALUMINIUM = Range(low=7.0, high=7.4)
# Free chlorine and bromine for small pools used cold: common practice, no source.
_SANITISER: dict[Sanitiser, tuple[str, Range]] = {
    Sanitiser.CHLORINE: ("free_chlorine_mg_l", Range(low=1.0, high=3.0)),
    Sanitiser.BROMINE: ("bromine_mg_l", Range(low=2.0, high=4.0)),
    Sanitiser.HYDROGEN_PEROXIDE: ("peroxide_mg_l", Range(low=30.0, high=100.0)),
}


def ranges_of(profile: TubProfile) -> dict[str, Range]:
    """Return the range of each quantity that this tub's treatment and liner call for."""
    ranges = {
        "ph": _PH_ALUMINIUM if profile.liner is Liner.ALUMINIUM else _PH,
        "combined_chlorine_mg_l": Range(low=None, high=0.5),
        "clarity": Range(low=None, high=0.5),
    }
    sanitiser = _SANITISER.get(profile.sanitiser)
    if sanitiser is not None:
        ranges[sanitiser[0]] = sanitiser[1]
    return ranges
