from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.energy.builders import make_tub
from tubcare.energy.first_frost import dry_by, watch_from
from tubcare.energy.freezing import StillPart, part_freeze, tub_freeze
from tubcare.energy.freezing_range import power_cut
from tubcare.energy.frost_dates import (
    DailyMinima,
    FrostRule,
    SeasonDate,
    SeasonStart,
    date_in_season,
    day_of_season,
    first_frosts,
    last_frosts,
)
from tubcare.energy.frost_risk import Method, risk_date
from tubcare.energy.lumped import LumpedBody
from tubcare.energy.power_cut import if_power_fails
from tubcare.energy.uncertainty import Spread, default_spread
from tubcare.errors import InputError


def _years(first: int, last: int, frosts: dict[int, date]) -> DailyMinima:
    """Return minima of whole years: 5 °C, and -6 °C on the day given for a year."""
    days = []
    day = date(first, 1, 1)
    while day <= date(last, 12, 31):
        days.append((day, -6.0 if frosts.get(day.year) == day else 5.0))
        day += timedelta(days=1)
    return DailyMinima(by_day=tuple(days))


def test_a_first_frost_in_january_belongs_to_the_season_before() -> None:
    minima = _years(2000, 2002, {2002: date(2002, 1, 10)})
    by_season = {season.season: season.day for season in first_frosts(minima, FrostRule())}
    assert by_season[2001] == 375
    assert by_season[2000] is None
    assert date_in_season(2001, 375) == date(2002, 1, 10)


def test_a_season_with_too_many_missing_days_is_dropped() -> None:
    minima = _years(2000, 2002, {2001: date(2001, 10, 10)})
    holed = DailyMinima(
        by_day=tuple(
            row for row in minima.by_day if not date(2001, 8, 1) <= row[0] <= date(2001, 8, 15)
        )
    )
    assert 2001 in {season.season for season in first_frosts(minima, FrostRule())}
    assert 2001 not in {season.season for season in first_frosts(holed, FrostRule())}
    assert 2001 in {season.season for season in last_frosts(holed, FrostRule())}


def test_a_colder_place_than_the_station_finds_frost_earlier() -> None:
    minima = DailyMinima(
        by_day=tuple((date(2000, 7, 1) + timedelta(days=n), 20.0 - 0.15 * n) for n in range(365))
    )
    plain, hollow = (
        first_frosts(minima, FrostRule(offset_c=offset))[0].day for offset in (0.0, -3.0)
    )
    assert plain is not None
    assert hollow is not None
    assert plain - hollow == 20


def test_strict_or_not_differs_only_at_the_limit() -> None:
    assert FrostRule(strict=False).is_frost(0.0)
    assert not FrostRule(strict=True).is_frost(0.0)
    assert not FrostRule(strict=True, offset_c=-0.1).is_frost(0.1)


def test_the_southern_season_is_the_calendar_year() -> None:
    assert day_of_season(date(2024, 5, 1), SeasonStart.SOUTH) == (2024, 121)


def _spread(count: int) -> list[SeasonDate]:
    return [SeasonDate(season=1990 + n, day=270 + (n * 7) % 23) for n in range(count)]


def test_too_few_years_give_a_range_in_place_of_a_date() -> None:
    few, many = risk_date(_spread(8), 0.2), risk_date(_spread(30), 0.2)
    assert few.day is None
    assert few.earliest is not None
    assert few.latest is not None
    assert few.earliest < few.latest
    assert few.safe_day == int(few.earliest)
    assert many.day is not None
    with pytest.raises(InputError, match="too few"):
        risk_date(_spread(2), 0.2)


def test_both_dates_come_without_grace_and_dry_by_takes_its_lead() -> None:
    frosts = {year: date(year, 10, 5 + year % 20) for year in range(1980, 2010)}
    minima = _years(1980, 2010, frosts)
    watch = watch_from(minima, season=2026, risk=0.1)
    dry = dry_by(minima, season=2026, risk=0.1, lead_days=5)
    assert watch.on == date(2026, 10, 6)
    assert dry.on == date(2026, 10, 1)
    harder = dry_by(minima, season=2026, risk=0.1, rule=FrostRule(level_c=-8.0))
    assert harder.on is None
    assert harder.rests_on.method is Method.NEVER


@given(st.lists(st.integers(240, 420), min_size=15, max_size=60), st.floats(0.002, 0.98))
def test_a_smaller_risk_never_gives_a_later_date(days: list[int], risk: float) -> None:
    seasons = [SeasonDate(season=1950 + n, day=day) for n, day in enumerate(days)]
    lower, higher = risk_date(seasons, risk), risk_date(seasons, min(0.99, risk + 0.01))
    assert lower.day is not None
    assert higher.day is not None
    assert lower.day <= higher.day


def test_a_still_hose_freezes_before_the_pump_and_that_before_the_tub() -> None:
    cut = if_power_fails(make_tub(), water_c=4.0, air_c=-5.0)
    hose_h, pump_h, tub_h = (part.to_zero_h for part in (cut.hose, cut.pump, cut.tub))
    assert hose_h is not None
    assert pump_h is not None
    assert tub_h is not None
    assert hose_h < 1.0 < pump_h < tub_h


def test_nothing_freezes_at_or_above_zero() -> None:
    cut = if_power_fails(make_tub(), water_c=4.0, air_c=0.0)
    for part in (cut.hose, cut.pump, cut.tub):
        assert (part.to_zero_h, part.to_ice_h) == (None, None)


def test_insulation_delays_but_never_prevents() -> None:
    bare = part_freeze(StillPart(inner_diameter_m=0.019), start_c=4.0, air_c=-5.0)
    wrapped = part_freeze(
        StillPart(inner_diameter_m=0.019, insulation_m=0.013), start_c=4.0, air_c=-5.0
    )
    assert bare.to_zero_h is not None
    assert wrapped.to_zero_h is not None
    assert bare.to_zero_h < wrapped.to_zero_h < 24.0


def test_a_heated_tub_may_never_freeze() -> None:
    body = LumpedBody(heat_capacity_j_k=1.68e6, ua_w_k=5.0, air_c=-5.0, gain_w=40.0)
    assert tub_freeze(body, volume_l=400.0, start_c=4.0, ice_share=0.1).to_zero_h is None


def test_the_range_of_a_power_cut_follows_leak_and_wind() -> None:
    cut = power_cut(make_tub(ua_w_k=9.0), default_spread(), water_c=6.0, air_c=-3.0)
    for part in (cut.hose, cut.pump, cut.tub):
        assert part.zero_range is not None
        assert part.to_zero_h is not None
        assert 0.0 < part.zero_range.low < part.to_zero_h < part.zero_range.high
    # By hand: time goes with 1 / UA, and the leak is known to a factor of 1.4 (nine in ten).
    assert cut.tub.zero_range is not None
    assert cut.tub.to_zero_h is not None
    assert cut.tub.zero_range.high / cut.tub.to_zero_h == pytest.approx(1.4, abs=0.08)
    assert cut.tub.zero_range.low / cut.tub.to_zero_h == pytest.approx(1 / 1.4, abs=0.08)


def test_a_narrower_leak_narrows_the_range_and_warm_air_has_none() -> None:
    known = Spread(covariance=((1e-4, 0.0, 0.0), (0.0, 1e-4, 0.0), (0.0, 0.0, 1e-4)))
    wide = power_cut(make_tub(), default_spread(), water_c=4.0, air_c=-5.0).tub.zero_range
    narrow = power_cut(make_tub(), known, water_c=4.0, air_c=-5.0).tub.zero_range
    assert wide is not None
    assert narrow is not None
    assert narrow.high - narrow.low < 0.1 * (wide.high - wide.low)
    warm = power_cut(make_tub(), known, water_c=4.0, air_c=0.0)
    assert warm.hose.zero_range is None
    assert warm.tub.zero_range is None
