from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import islice
from typing import TYPE_CHECKING

import pytest

from tests.energy.builders import HELSINKI, SEASON, flat_tariff, make_tub, nordic_year
from tests.energy.changes import with_envelope, with_pump_hours, with_set_point, with_shading
from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.uncertainty import Factors, default_spread, estimate
from tubcare.energy.what_if import (
    Outcome,
    Scenario,
    Variant,
    compare,
)

if TYPE_CHECKING:
    from tubcare.energy.envelope import Envelope


def _scenario(**changes: float) -> Scenario:
    return Scenario(
        tub=make_tub(**changes),
        year=nordic_year(),
        first=SEASON[0],
        last=SEASON[1],
        zone=HELSINKI,
        tariff=flat_tariff(),
    )


def _thicker(envelope: Envelope) -> Envelope:
    return replace(
        envelope,
        body_ua_w_k=envelope.body_ua_w_k / 4.0,
        lid_resistance_m2k_w=envelope.lid_resistance_m2k_w * 4.0,
    )


def _only(scenario: Scenario, variant: Variant) -> tuple[Outcome, Outcome]:
    base, changed = compare(scenario, [variant])
    return base, changed


@pytest.mark.parametrize(
    "variant",
    [
        Variant(name="warmer", change=with_set_point(8.0)),
        Variant(name="pump", change=with_pump_hours(8.0)),
        Variant(name="shade", change=with_shading(0.9)),
        Variant(
            name="short",
            change=lambda it: replace(it, first=date(2025, 5, 1), last=date(2025, 9, 30)),
        ),
        Variant(name="cheap", change=lambda it: replace(it, tariff=flat_tariff(20))),
        Variant(name="walls", change=with_envelope(_thicker)),
    ],
    ids=lambda variant: variant.name,
)
def test_each_kind_of_change_saves_where_it_should(variant: Variant) -> None:
    base, changed = _only(_scenario(ua_w_k=15.0), variant)
    assert changed.saving_minor > 0.0
    assert changed.cost_minor == pytest.approx(base.cost_minor - changed.saving_minor)


def test_pay_back_is_price_over_saving_and_none_without_a_saving() -> None:
    better = Variant(name="walls", change=with_envelope(_thicker), price_minor=20000)
    _, changed = _only(_scenario(ua_w_k=30.0), better)
    assert changed.pay_back_seasons == pytest.approx(20000 / changed.saving_minor)
    _, worse = _only(
        _scenario(), Variant(name="colder", change=with_set_point(2.0), price_minor=1)
    )
    assert worse.pay_back_seasons is None


def test_more_insulation_can_cost_more_in_the_cold_and_is_shown_as_such() -> None:
    cold = replace(_scenario(ua_w_k=10.0), first=date(2025, 1, 1), last=date(2025, 4, 30))
    plain, changed = _only(cold, Variant(name="walls", change=with_envelope(_thicker)))
    assert changed.kwh > plain.kwh
    assert changed.traps_pump_heat


def test_a_comparison_can_be_stopped_between_variants() -> None:
    asked = iter([False, False, True])
    variants = [Variant(name=str(n), change=with_set_point(4.0 + n / 100)) for n in range(50)]
    outcomes = compare(_scenario(), variants, should_stop=lambda: next(asked))
    assert [outcome.name for outcome in outcomes] == ["", "0", "1"]
    assert [outcome.name for outcome in islice(compare(_scenario(), variants), 2)] == ["", "0"]


def test_a_unit_at_its_limit_is_stepped_and_said_so() -> None:
    base, _ = _only(
        _scenario(ua_w_k=40.0, cooling_w=250.0), Variant(name="x", change=with_shading(0.0))
    )
    assert base.cannot_hold


def test_the_range_of_a_season_is_about_a_quarter_before_calibration() -> None:
    hours = hours_of_days(*SEASON, HELSINKI)
    weather = nordic_year().for_hours(hours)
    (season,) = estimate(
        make_tub(),
        default_spread(),
        lambda tub: (float(held_power(tub, hours, weather).drawn_kwh.sum()),),
    )
    assert season.low < season.value < season.high
    assert (season.high - season.low) / 2.0 / season.value == pytest.approx(0.24, abs=0.06)


def test_costs_and_savings_come_with_ranges_that_hold_for_other_tubs() -> None:
    base = _scenario(ua_w_k=12.0)
    walls = Variant(name="walls", change=with_envelope(_thicker))
    plain, changed = compare(base, [walls], spread=default_spread())
    assert plain.cost_range is not None
    assert changed.cost_range is not None
    assert changed.saving_range is not None
    assert changed.cost_range.low < changed.cost_minor < changed.cost_range.high
    # A tub that leaks a fifth more than described, pump and COP as described.
    leaky = replace(base, tub=Factors(leak=1.2).applied(base.tub))
    actual = list(compare(leaky, [walls]))
    assert plain.cost_range.low < actual[0].cost_minor < plain.cost_range.high
    assert changed.saving_range.low < actual[1].saving_minor < changed.saving_range.high


def test_a_saving_is_better_known_than_the_costs_it_lies_between() -> None:
    base = _scenario(pump_w=60.0)
    warmer = Variant(name="warmer", change=with_set_point(6.0))
    plain, changed = compare(base, [warmer], spread=default_spread())
    widths = [
        each.high - each.low
        for each in (plain.cost_range, changed.saving_range)
        if each is not None
    ]
    assert len(widths) == 2
    assert widths[1] < 0.5 * widths[0]
    plain, changed = compare(base, [warmer])
    assert changed.saving_range is None
