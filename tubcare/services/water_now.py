"""How the water stands: readings against the tub's ranges, scale, age, and what still runs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.services.measures import tub_named
from tubcare.services.water_kit import kit_in
from tubcare.services.water_samples import ground_in
from tubcare.water.balance import ActiveChlorine, active_chlorine, balance
from tubcare.water.borate import borate_share
from tubcare.water.clash import clash_in
from tubcare.water.combined import Combined, combined_chlorine
from tubcare.water.completed import index_now
from tubcare.water.exposure import LINER_WINDOWS
from tubcare.water.galvanic import LINER_METALS, GalvanicPair, Metal, galvanic_pairs
from tubcare.water.judged import READING_OF, Judged, Standing, judge
from tubcare.water.kit import OBSERVED
from tubcare.water.ranges import Quantity
from tubcare.water.step_in import StepIn

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, timedelta

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_samples import Ground
    from tubcare.values import Liner, TubId
    from tubcare.water.borate import BorateShare
    from tubcare.water.clash import Clash
    from tubcare.water.completed import Completed, IndexNow
    from tubcare.water.judged import Sighting
    from tubcare.water.kit import Kit
    from tubcare.water.strips import Assumption

# Where a person opened the range, and what plastics stand for a short time (from memory).
_COMBINED_LIMIT_MG_L = 0.5
_HIGHEST_FREE_MG_L = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterNow:
    """The water of one tub as it stands.

    Attributes
    ----------
    tested_at
        Instant of the newest value of a test, None where there is none.
    judged
        Each range with the newest value: outside first, then unknown, then inside.
    observed
        What was seen and smelt last, by name in the logbook.
    index
        Saturation index at `water_c`; None without a test that can be balanced.
    contradiction
        Why the test cannot be balanced, empty where it can.
    touched_at
        When a dose or fresh water last went in.
    drained
        The tub is closed and holds no water.
    assumed
        What the index stands on that was not read with the pH.
    combined
        What the combined chlorine calls for; None without free and total read together.
    pairs
        Metals in this water of which one eats the other, the worst first.
    clash
        What chlorine and peroxide leave of each other; None unless both are in the water.
    borate
        Its part in alkalinity and pH; None where none was read or added.
    active
        What cyanuric acid leaves of the free chlorine; None unless that was read lately and
        cyanurate was read too, or is on record as dosed.
    """

    tub: TubPlace
    volume_l: float
    liner: Liner
    kit: Kit
    now: datetime
    tested_at: datetime | None
    judged: tuple[Judged, ...]
    observed: Mapping[str, Sighting]
    index: IndexNow | None
    contradiction: str
    assumed: tuple[Assumption, ...]
    water_c: float
    measured_c: bool
    wait_until: datetime | None
    touched_at: datetime | None
    drained: bool
    combined: Combined | None
    pairs: tuple[GalvanicPair, ...]
    active: ActiveChlorine | None
    borate: BorateShare | None
    clash: Clash | None

    @property
    def age(self) -> timedelta | None:
        """Age of the newest test, None where there is none."""
        return None if self.tested_at is None else self.now - self.tested_at

    @property
    def step_in(self) -> StepIn:
        """The facts for whoever wants to step in."""
        standings = [each.standing for each in self.judged]
        inside = standings.count(Standing.INSIDE)
        unknown = standings.count(Standing.UNKNOWN)
        return StepIn(
            inside=inside,
            outside=len(standings) - inside - unknown,
            unknown=unknown,
            age=self.age,
            waiting=None if self.wait_until is None else self.wait_until - self.now,
            added=self._added(),
            drained=self.drained,
        )

    def _added(self) -> timedelta | None:
        if self.tested_at is None or self.touched_at is None or self.touched_at <= self.tested_at:
            return None
        return self.now - self.touched_at


def water_now(desk: Desk, tub: TubId | str | None = None) -> WaterNow:
    """Return how the water of a tub stands.

    Raises
    ------
    NotFoundError, InputError
        When the tub is not known, or several stand to choose from.
    """
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        ground = ground_in(connection, place.id, now)
        kit = kit_in(connection, place.id)
    # A test of water that was let out says nothing of what is in the tub.
    found, contradiction = (None, "") if ground.season.drained else _completed(ground)
    index, contradiction = (None, contradiction) if found is None else _index(found)
    return WaterNow(
        tub=place,
        volume_l=ground.profile.volume_l,
        liner=ground.profile.liner,
        kit=kit,
        now=now,
        tested_at=ground.tested_at,
        judged=judged_of(ground, now),
        observed={n: ground.sightings[n] for n in OBSERVED if n in ground.sightings},
        index=index,
        contradiction=contradiction,
        assumed=() if found is None else found.assumed,
        water_c=ground.water_c,
        measured_c=ground.measured_c,
        wait_until=ground.wait_until,
        touched_at=ground.season.touched_at,
        drained=ground.season.drained,
        combined=_combined(ground),
        pairs=galvanic_pairs(_metals(ground.profile.liner, kit)),
        active=None if found is None or contradiction else _active(found),
        borate=None if found is None or contradiction else borate_share(balance(found.middle)),
        clash=None if found is None or contradiction else clash_in(found.middle),
    )


def judged_of(ground: Ground, now: datetime) -> tuple[Judged, ...]:
    """Return each range with the newest value: outside first, then unknown, then inside."""
    found = [
        judge(
            quantity,
            ground.sightings.get(READING_OF[quantity]),
            each.limits,
            now=now,
            edited=each.edited,
        )
        for quantity, each in ground.ranges.items()
    ]
    order = {Standing.BELOW: 0, Standing.ABOVE: 0, Standing.UNKNOWN: 1, Standing.INSIDE: 2}
    found.sort(key=lambda each: order[each.standing])
    return tuple(found)


def _combined(ground: Ground) -> Combined | None:
    free, total = (
        ground.sightings.get(name) for name in ("free_chlorine_mg_l", "total_chlorine_mg_l")
    )
    limits = ground.ranges.get(Quantity.COMBINED_CHLORINE)
    if free is None or total is None or free.at != total.at or limits is None:
        return None
    window = LINER_WINDOWS[ground.profile.liner]
    return combined_chlorine(
        free_mg_l=free.value,
        total_mg_l=total.value,
        limit_mg_l=limits.limits.high or _COMBINED_LIMIT_MG_L,
        highest_free_mg_l=window.free_chlorine_mg_l or _HIGHEST_FREE_MG_L,
    )


def _active(found: Completed) -> ActiveChlorine | None:
    test = found.middle
    if (
        "free_chlorine_mg_l" not in found.known
        or test.cyanuric_acid_mg_l * test.free_chlorine_mg_l <= 0.0
    ):
        return None
    return active_chlorine(balance(test))


def _metals(liner: Liner, kit: Kit) -> frozenset[Metal]:
    own = LINER_METALS.get(liner)
    return kit.metals if own is None else kit.metals | {own}


def _completed(ground: Ground) -> tuple[Completed | None, str]:
    try:
        return ground.completed(), ""
    except InputError as error:
        return None, error.reason


def _index(found: Completed) -> tuple[IndexNow | None, str]:
    try:
        return index_now(found), ""
    except InputError as error:
        return None, error.reason
