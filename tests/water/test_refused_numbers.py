"""No number that is none, and none outside its range, gets into the formulas of the water.

Our own rule: no outside figures.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Final

import pytest

from tests.water.waters import a_request, a_test
from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.balance import balance, balance_of, totals_of
from tubcare.water.change import ChangeLimits, WaterHistory, weigh_change
from tubcare.water.combined import combined_chlorine
from tubcare.water.compounds import Compound, neutralised
from tubcare.water.drift import month_ahead, resting_alkalinity
from tubcare.water.exposure import ExposurePoint
from tubcare.water.loss import LossRate, fit_loss
from tubcare.water.loss_pairs import SanitiserDose, SanitiserReading
from tubcare.water.plan import plan
from tubcare.water.plan_model import ShelfItem, Targets, Window
from tubcare.water.products import usual_product
from tubcare.water.strips import Band

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

NOW = datetime(2026, 6, 1, tzinfo=UTC)
STATE = balance(a_test())
BLEACH = usual_product(Compound.SODIUM_HYPOCHLORITE)
HISTORY = WaterHistory(volume_l=400.0, bathers=3, refilled_l=0.0, age_days=10.0)
RATE = LossRate(
    rate_per_day=0.4,
    low_per_day=0.3,
    high_per_day=0.5,
    per_dip=None,
    water_c=6.0,
    dips_per_day=0.0,
    pairs=5,
    censored=0,
)


def weighed(history: WaterHistory) -> object:
    return weigh_change(history, test=None, fill=None, limits=ChangeLimits())


TAKES: Final[Mapping[str, Callable[[float], object]]] = {
    "salt beside chlorine": lambda v: replace(BLEACH, salt_per_chlorine=v),
    "pack": lambda v: ShelfItem(product=BLEACH, pack_amount=v),
    "left of a pack": lambda v: ShelfItem(product=BLEACH, left=v),
    "window": lambda v: Window(low=-math.inf, aim=0.0, high=v),
    "band": lambda v: Band(low=-math.inf, high=v),
    "sanitiser": lambda v: SanitiserReading(at=NOW, mg_l=v),
    "temperature of a reading": lambda v: SanitiserReading(at=NOW, mg_l=1.0, water_c=10.0 * v),
    "dose": lambda v: SanitiserDose(at=NOW, mg_l=v),
    "loss at a use": lambda v: RATE.at(water_c=6.0, dips_per_day=v),
    "loss at a temperature": lambda v: RATE.at(water_c=10.0 * v, dips_per_day=0.0),
    "fit at a use": lambda v: fit_loss((), water_c=6.0, dips_per_day=v),
    "ph at the liner": lambda v: ExposurePoint(at=NOW, ph=v),
    "chloride at the liner": lambda v: ExposurePoint(at=NOW, chloride_mg_l=v),
    "fresh water": lambda v: weighed(replace(HISTORY, refilled_l=v)),
    "age of the water": lambda v: weighed(replace(HISTORY, age_days=v)),
    "limit of combined chlorine": lambda v: combined_chlorine(
        free_mg_l=1.0, total_mg_l=1.2, limit_mg_l=v, highest_free_mg_l=5.0
    ),
    "ph of a balance": lambda v: balance_of(STATE.totals, water_c=5.0, ph=v),
    "agent": lambda v: neutralised(totals_of(a_test()), Compound.SULFITE, v),
    "air": lambda v: resting_alkalinity(STATE, ph=7.5, co2_ppm=v),
    "range of ph": lambda v: month_ahead(
        STATE, ph_low=v, ph_aim=v, ph_high=v, lowest_alkalinity_mg_l=30.0
    ),
}


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, -1.0])
@pytest.mark.parametrize("name", TAKES)
def test_what_is_no_number_of_its_kind_is_refused(name: str, value: float) -> None:
    with pytest.raises((OutOfRangeError, InputError)):
        TAKES[name](value)


@pytest.mark.parametrize(("low", "high"), [(5.0, 6.0), (6.0, 6.4), (9.2, 9.9)])
def test_a_range_of_ph_at_which_no_water_rests_still_gets_its_outlook(
    low: float, high: float
) -> None:
    targets = Targets(
        ph=Window(low=low, aim=low, high=high), alkalinity=Window(low=10.0, aim=50.0, high=400.0)
    )
    outlook = plan(a_request(a_test(alkalinity_mg_l=100.0), targets=targets)).outlook
    assert outlook.advised_rest_ph is not None
    assert 6.5 <= outlook.advised_rest_ph <= 9.0
