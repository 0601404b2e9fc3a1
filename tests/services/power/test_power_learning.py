"""Learning from the meter: refused when it cannot tell, kept when it can, checked on other weeks.

The meter of these tests is made by the engine itself from a tub whose leak differs from its
description by a known factor; the fit has to find that factor again.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import chilled_tub
from tests.support.weather_files import hourly_csv
from tubcare.energy.calibration_result import Basis, Calibration, Help, Identified, Refusal
from tubcare.energy.uncertainty import Factors
from tubcare.energy.water_properties import heat_capacity_j_k
from tubcare.errors import InputError, RuleError
from tubcare.services.history import undo
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.power import power
from tubcare.services.power_days import Mode, Stretch
from tubcare.services.power_drift import DriftTest
from tubcare.services.power_learning import (
    add_drift_test,
    delete_drift_test,
    forget_learning,
    keep_learning,
    learning,
)
from tubcare.services.power_model import DayModel
from tubcare.services.power_site import read_site
from tubcare.services.power_weather import import_weather
from tubcare.values import Liner

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

APRIL = datetime(2026, 4, 1)  # noqa: DTZ001  the file's own clock
DAYS = 60
TRUE_LEAK = 1.5


@pytest.fixture
def tub(desk: Desk) -> TubId:
    # Insulated, so that the unit never reaches its limit: there the meter tells the unit alone.
    return chilled_tub(desk, opened=date(2026, 4, 1), liner=Liner.ALUMINIUM)


def warm_spring(desk: Desk, tub: TubId) -> None:
    text = hourly_csv(APRIL, (DAYS + 5) * 24, mean_c=9.0, slope_k=0.25)
    import_weather(desk, tub, text, source="spring.csv")


def metered(desk: Desk, tub: TubId, *, every: int = 1) -> None:
    """Write down what the tub would have drawn if it leaked by a known factor more."""
    with desk.read() as connection:
        found = read_site(connection, tub)
    true = Factors(leak=TRUE_LEAK).applied(found.described_tub)
    first = date(2026, 4, 1)
    days = (Stretch(first=first, last=first + timedelta(days=DAYS), mode=Mode.RUNNING),)
    kwh = DayModel(replace(found.site, tub=true), days).by_day().kwh
    total = 1000.0
    for number in range(DAYS):
        # Readings are of noon: half of a day and half of the next.
        total += 0.5 * (kwh[number] + kwh[number + 1])
        if number % every == 0:
            value = MeterValue(counter="kwh", value_milli=round(total * 1000))
            add_meter_reading(desk, tub, value, on=first + timedelta(days=number + 1))


def drift(leak_w_k: float, volume_l: float) -> DriftTest:
    capacity = heat_capacity_j_k(volume_l=volume_l, water_c=5.0)
    readings = tuple(
        (float(h), 20.0 - 16.0 * math.exp(-leak_w_k * h * 3600 / capacity)) for h in range(13)
    )
    return DriftTest(readings=readings, air_c=20.0)


def test_without_measured_weather_nothing_is_learned(desk: Desk, tub: TubId) -> None:
    metered_from = MeterValue(counter="kwh", value_milli=1000)
    add_meter_reading(desk, tub, metered_from, on=date(2026, 5, 1))
    found = learning(desk, tub)
    assert isinstance(found.found, Refusal)
    with pytest.raises(RuleError, match="cannot tell"):
        keep_learning(desk, tub)


def test_four_days_of_readings_are_refused_and_say_what_would_help(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    for day in range(1, 6):
        value = MeterValue(counter="kwh", value_milli=1_000_000 + day * 1500)
        add_meter_reading(desk, tub, value, on=date(2026, 4, day))
    found = learning(desk, tub).found
    assert isinstance(found, Refusal)
    assert {Help.MORE_DAYS, Help.WIDER_TEMPERATURES} <= set(found.would_help)


def test_two_months_of_readings_find_the_leak_over_cop(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)
    found = learning(desk, tub)
    assert isinstance(found.found, Calibration)
    with desk.read() as connection:
        described = read_site(connection, tub).described_tub
    cop = float(described.chiller.cop(water_c=6.0, air_c=17.0))
    expected = TRUE_LEAK * described.envelope.ua_w_k() / cop
    assert found.found.leak_over_cop_w_k == pytest.approx(expected, rel=0.12)


def test_the_held_out_weeks_lie_within_their_range(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)
    checked = learning(desk, tub).checked
    assert checked is not None
    assert len(checked.weeks) >= 2
    assert abs(checked.bias_share) < 0.05


def test_what_was_learned_narrows_the_range_until_it_is_forgotten(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)

    def spread() -> float:
        season = power(desk, tub).season
        assert season is not None
        assert season.modelled is not None
        kwh = season.modelled.kwh
        return (kwh.high - kwh.low) / kwh.value

    wide = spread()
    assert keep_learning(desk, tub).kept
    assert learning(desk, tub).kept
    assert spread() < 0.5 * wide
    forget_learning(desk, tub)
    assert spread() == pytest.approx(wide)
    undo(desk)
    assert spread() < 0.5 * wide


def test_a_drift_test_tells_leak_and_cop_apart(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)
    with desk.read() as connection:
        found = read_site(connection, tub)
    true_leak = TRUE_LEAK * found.described_tub.envelope.ua_w_k()
    result = add_drift_test(desk, tub, drift(true_leak, found.build.profile.volume_l))
    assert result.ua_w_k == pytest.approx(true_leak, rel=0.02)
    learned = learning(desk, tub).found
    assert isinstance(learned, Calibration)
    assert learned.identified is Identified.SEPARATE
    assert learned.leak_w_k == pytest.approx(true_leak, rel=0.1)
    assert keep_learning(desk, tub).goes_by is Basis.METER
    forget_learning(desk, tub)
    assert learning(desk, tub).goes_by is Basis.DRIFT_TEST


@pytest.mark.parametrize("times", [0.3, 4.0])
def test_a_drift_test_that_contradicts_the_meter_is_refused(
    desk: Desk, tub: TubId, times: float
) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)
    with desk.read() as connection:
        found = read_site(connection, tub)
    leak_w_k = times * TRUE_LEAK * found.described_tub.envelope.ua_w_k()
    add_drift_test(desk, tub, drift(leak_w_k, found.build.profile.volume_l))
    learned = learning(desk, tub).found
    assert isinstance(learned, Refusal)
    assert learned.would_help == (Help.DRIFT_TEST_AGAIN,)
    with pytest.raises(RuleError):
        keep_learning(desk, tub)


def test_a_drift_test_that_tells_nothing_is_refused_and_not_kept(desk: Desk, tub: TubId) -> None:
    still = DriftTest(readings=((0.0, 5.0), (4.0, 5.1), (8.0, 5.1), (12.0, 5.2)), air_c=20.0)
    with pytest.raises(InputError, match="move by 1 K"):
        add_drift_test(desk, tub, still)
    short = DriftTest(readings=((0.0, 5.0), (1.0, 5.4), (2.0, 5.9), (3.0, 6.3)), air_c=20.0)
    with pytest.raises(InputError, match="too short"):
        add_drift_test(desk, tub, short)
    assert learning(desk, tub).drift_test is None


@pytest.mark.parametrize(
    "readings",
    [
        ((0.0, 5.0), (12.0, 6.0)),
        ((0.0, 5.0), (4.0, 5.3), (2.0, 5.6), (12.0, 6.0)),
        ((0.0, 5.0), (4.0, 5.0), (8.0, 5.1), (12.0, 5.1)),
        ((0.0, 5.0), (1.0, 5.3), (2.0, 5.6), (3.0, 6.0)),
    ],
)
def test_what_is_wrong_with_the_readings_of_a_drift_test_is_told_of_them(
    desk: Desk, tub: TubId, readings: tuple[tuple[float, float], ...]
) -> None:
    with pytest.raises(InputError) as caught:
        add_drift_test(desk, tub, DriftTest(readings=readings, air_c=20.0))
    assert caught.value.field == "readings"


def test_the_drift_test_can_be_taken_away(desk: Desk, tub: TubId) -> None:
    add_drift_test(desk, tub, drift(5.0, 400.0))
    assert learning(desk, tub).drift_test is not None
    delete_drift_test(desk, tub)
    assert learning(desk, tub).drift_test is None


def test_a_span_with_a_fill_in_it_is_left_out(desk: Desk, tub: TubId) -> None:
    warm_spring(desk, tub)
    metered(desk, tub)
    add_fill(desk, tub, 200.0, on=date(2026, 5, 1))
    assert learning(desk, tub).disturbed == 1
