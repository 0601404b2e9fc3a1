"""The weather that the model goes by: files of hours, typed monthly means."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import MEANS, modelled_kwh
from tests.support.weather_files import hourly_csv
from tubcare.energy.weather_columns import Question, Unit
from tubcare.energy.weather_text import Answers
from tubcare.services.history import undo
from tubcare.services.power import power
from tubcare.services.power_weather import (
    FileClock,
    import_weather,
    preview_weather,
    type_monthly_means,
)
from tubcare.services.power_weather_known import known_weather, monthly_means, weather_series
from tubcare.services.tubs import change_profile, tubs

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


MAY = datetime(2026, 5, 1)  # noqa: DTZ001  the file's own clock


def test_measured_hours_go_before_the_typical_ones(desk: Desk, tub: TubId) -> None:
    import_weather(desk, tub, hourly_csv(MAY, 31 * 24, mean_c=25.0), source="may.csv")
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 31
    may = found.months[0].modelled
    type_monthly_means(desk, tub, MEANS)
    both = power(desk, tub)
    assert both.season is not None
    assert both.season.modelled_days == 51
    assert may is not None
    assert both.months[0].modelled is not None
    assert both.months[0].modelled.kwh.value == pytest.approx(may.kwh.value, rel=0.01)
    assert 0.35 < both.typical_share < 0.45


def test_a_weather_file_is_looked_at_before_it_is_taken(desk: Desk, tub: TubId) -> None:
    text = hourly_csv(MAY, 72)
    lines = text.splitlines()
    preview = preview_weather(desk, tub, "\n".join([*lines[:30], *lines[40:]]))
    assert [(gap.first.hour, gap.count) for gap in preview.gaps] == [(5, 10)]
    assert preview.usable
    assert not power(desk, tub).has_weather
    unclear = preview_weather(desk, tub, text.replace(" (C)", ""))
    assert unclear.questions == (Question.TEMPERATURE_UNIT,)
    answered = preview_weather(
        desk, tub, text.replace(" (C)", ""), answers=Answers(unit=Unit.FAHRENHEIT)
    )
    assert answered.usable


def test_a_file_that_goes_on_from_the_one_before_is_put_together_with_it(
    desk: Desk, tub: TubId
) -> None:
    first, second = (hourly_csv(MAY + timedelta(days=n), 24 * 10) for n in (0, 8))
    import_weather(desk, tub, first, source="early.csv")
    preview = preview_weather(desk, tub, second)
    assert (preview.joins, preview.replaces) == ("early.csv", "")
    import_weather(desk, tub, second, source="late.csv")
    measured = weather_series(desk, tub).site.measured
    assert measured is not None
    assert measured.hours.count == 24 * 18
    assert measured.weather.missing == 0
    kept = known_weather(desk, tub).measured
    assert kept is not None
    assert (kept.source, kept.last_on) == ("early.csv, late.csv", date(2026, 5, 18))
    undo(desk)
    before = known_weather(desk, tub).measured
    assert before is not None
    assert before.source == "early.csv"


@pytest.mark.parametrize(("day", "days"), [(20, 5), (-1, 12)])
def test_a_file_apart_from_the_one_before_or_all_around_it_takes_its_place(
    desk: Desk, tub: TubId, day: int, days: int
) -> None:
    import_weather(desk, tub, hourly_csv(MAY, 24 * 10), source="early.csv")
    other = hourly_csv(MAY + timedelta(days=day), 24 * days)
    assert preview_weather(desk, tub, other).replaces == "early.csv"
    import_weather(desk, tub, other, source="other.csv")
    kept = known_weather(desk, tub).measured
    assert kept is not None
    assert kept.source == "other.csv"


def test_a_file_in_utc_lands_on_the_tubs_own_days(desk: Desk, tub: TubId) -> None:
    # 21:00 UTC is midnight in Helsinki in summer: the file covers 2 May whole.
    start = datetime(2026, 5, 1, 21)  # noqa: DTZ001  the file's own clock
    import_weather(desk, tub, hourly_csv(start, 24), source="utc.csv", clock=FileClock.UTC)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 1


def test_monthly_means_come_back_as_typed(desk: Desk, tub: TubId) -> None:
    assert monthly_means(desk, tub) is None
    type_monthly_means(desk, tub, MEANS)
    assert monthly_means(desk, tub) == MEANS


def test_monthly_means_bring_sun_once_the_latitude_is_known(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    assert known_weather(desk, tub).without_sun
    dull = modelled_kwh(power(desk, tub))
    (only,) = tubs(desk)
    change_profile(desk, tub, replace(only.profile, latitude_deg=60.0))
    assert not known_weather(desk, tub).without_sun
    assert modelled_kwh(power(desk, tub)) > dull
