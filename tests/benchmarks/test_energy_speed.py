"""Times of the energy engine, beside scipy's integrator in the same run.

A smoke test by default: short, and no time is asserted. With TUBCARE_BENCH=1 it runs at full size
and holds the figures to be reached.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.energy.builders import HELSINKI, SEASON, flat_tariff, make_tub, nordic_year
from tests.energy.changes import with_envelope, with_pump_hours, with_set_point, with_shading
from tests.reference.energy.integrator import integrate
from tests.support.bench import FULL, best_ms, ms
from tubcare.energy.back_test import back_test
from tubcare.energy.calibration import calibrate
from tubcare.energy.evidence import Evidence, MeterSpan
from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.load import acting
from tubcare.energy.power import run_power
from tubcare.energy.tariff import hourly_minor
from tubcare.energy.uncertainty import default_spread
from tubcare.energy.what_if import (
    Scenario,
    Variant,
    compare,
)

if TYPE_CHECKING:
    from collections.abc import Callable

LAST = SEASON[1] if FULL else SEASON[0] + timedelta(days=6)


@pytest.mark.parametrize("ua_w_k", [4.2, 15.0, 35.0])
def test_a_season_with_thermostat_and_cost(ua_w_k: float) -> None:
    hours = hours_of_days(SEASON[0], LAST, HELSINKI)
    weather, tariff = nordic_year().for_hours(hours), flat_tariff()
    tub = make_tub(ua_w_k=ua_w_k, cooling_w=1200.0)

    def season() -> float:
        kwh = run_power(tub, hours, weather).total_kwh
        return float(hourly_minor(tariff, hours, kwh).sum())

    ours_ms = best_ms(season, 25 if FULL else 2)
    load = acting(tub, hours, weather).load
    theirs = []
    scipy_ms = ms(
        lambda: theirs.append(
            integrate(load, tub.thermostat, tub.chiller, weather, start_c=4.0).compressor_kwh
        )
    )
    # Once more after it: on a shared machine one spell may fall into somebody else's work.
    ours_ms = min(ours_ms, best_ms(season, 25 if FULL else 2))
    found = run_power(tub, hours, weather).totals().compressor_kwh
    off = found / theirs[0] - 1.0 if theirs[0] else 0.0
    print(  # noqa: T201  the figure is the purpose
        f"\n{hours.count} h, UA {ua_w_k:g}: {ours_ms:.2f} ms, scipy {scipy_ms / 1e3:.2f} s,"
        f" ratio {scipy_ms / ours_ms:.0f}, energy off {off:+.3%}"
    )
    if FULL:
        assert abs(off) <= 0.005
        assert ours_ms < 5
        assert scipy_ms / ours_ms >= 200.0


def _changes(share: float) -> tuple[Callable[[Scenario], Scenario], ...]:
    """Return one change of each kind; `share` 0..1 makes it another one."""
    return (
        with_set_point(3.0 + 5.0 * share),
        with_pump_hours(24.0 * share),
        with_shading(share),
        with_envelope(lambda there: replace(there, body_ua_w_k=1.0 + 20.0 * share)),
        lambda it: replace(it, last=LAST - timedelta(days=int(40 * share) if FULL else 0)),
    )


def test_a_hundred_variants() -> None:
    base = Scenario(
        tub=make_tub(ua_w_k=10.0),
        year=nordic_year(),
        first=SEASON[0],
        last=LAST,
        zone=HELSINKI,
        tariff=flat_tariff(),
    )
    count = 100 if FULL else 5
    variants = [
        Variant(name=str(n), change=_changes(n / 100)[n % 5], price_minor=9900)
        for n in range(count)
    ]
    taken_ms = best_ms(lambda: list(compare(base, variants)), 3 if FULL else 1)
    ranged_ms = best_ms(
        lambda: list(compare(base, variants, spread=default_spread())), 3 if FULL else 1
    )
    print(  # noqa: T201  the figure is the purpose
        f"\n{count} variants: {taken_ms:.0f} ms; with their ranges: {ranged_ms:.0f} ms"
    )
    if FULL:
        assert max(taken_ms, ranged_ms) < 500


def test_a_calibration_over_two_seasons_of_daily_readings() -> None:
    last = date(2026, 10, 31) if FULL else date(2025, 5, 31)
    hours = hours_of_days(SEASON[0], last, HELSINKI)
    weather = nordic_year().for_hours(hours)
    drawn = held_power(make_tub(ua_w_k=6.0), hours, weather).drawn_kwh
    spans = tuple(
        MeterSpan(
            first=hours.start + timedelta(days=day),
            stop=hours.start + timedelta(days=day + 1),
            kwh=float(drawn[day * 24 : day * 24 + 24].sum()),
        )
        for day in range(hours.count // 24)
    )
    evidence = Evidence(hours=hours, weather=weather, spans=spans)
    fit_ms = best_ms(lambda: calibrate(make_tub(), evidence), 3 if FULL else 1)
    check_ms = best_ms(lambda: back_test(make_tub(), evidence), 1)
    print(  # noqa: T201  the figure is the purpose
        f"\n{len(spans)} days: fit {fit_ms:.0f} ms, back-test {check_ms:.0f} ms"
    )
    if FULL:
        assert fit_ms < 1000
