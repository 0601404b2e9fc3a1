"""What the section Water reads in one go, in the logbook's thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.desktop.speaking import speech_of
from tubcare.services.tubs import tubs
from tubcare.services.water_now import WaterNow, water_now

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub
    from tubcare.values import TubId
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterShown:
    """The water of one tub, the tubs to choose from, and the words to show it in."""

    tubs: tuple[Tub, ...]
    now: WaterNow
    speech: Speech


def read_water(desk: Desk, tub: TubId | None) -> WaterShown | None:
    """Return the water of a tub, the first where none is chosen; None without any tub."""
    known = tubs(desk)
    if not known:
        return None
    chosen = tub if tub in {each.id for each in known} else known[0].id
    return WaterShown(tubs=known, now=water_now(desk, chosen), speech=speech_of(desk))
