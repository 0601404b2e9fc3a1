"""Whether a tub's profile can be right, its litres, and keeping it as plain data."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given

from tests.care.plan_cases import PLAIN, profiles
from tubcare.care.profile import (
    PROFILE_VERSION,
    checked_profile,
    climate_has_winter,
    in_open_season,
    profile_from_data,
    profile_to_data,
    volume_from_shape,
    with_volume,
)
from tubcare.errors import InputError, OutOfRangeError
from tubcare.values import MonthDay, Shape, TubProfile


def test_a_box_holds_length_times_width_times_depth() -> None:
    held = volume_from_shape(Shape.BOX, length_m=1.5, width_m=0.7, depth_m=0.6)
    assert held == pytest.approx(630.0)


def test_a_cylinder_holds_the_area_of_its_circle_times_depth() -> None:
    held = volume_from_shape(Shape.CYLINDER, length_m=1.0, width_m=None, depth_m=1.0)
    assert held == pytest.approx(250.0 * math.pi)


def test_a_cylinder_with_a_width_is_an_ellipse() -> None:
    held = volume_from_shape(Shape.CYLINDER, length_m=2.0, width_m=1.0, depth_m=0.5)
    assert held == pytest.approx(250.0 * math.pi)


@pytest.mark.parametrize("shape", [Shape.BOX, Shape.CYLINDER, Shape.OTHER])
def test_without_dimensions_the_litres_stay_as_given(shape: Shape) -> None:
    assert with_volume(TubProfile(name="Tub", shape=shape, volume_l=512.0)).volume_l == 512.0


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("volume_l", replace(PLAIN, volume_l=0.0)),
        ("volume_l", replace(PLAIN, volume_l=math.nan)),
        ("volume_l", replace(PLAIN, volume_l=math.inf)),
        ("length_m", replace(PLAIN, length_m=-1.0)),
        ("depth_m", replace(PLAIN, depth_m=30.0)),
        ("latitude_deg", replace(PLAIN, latitude_deg=91.0)),
        ("set_point_c", replace(PLAIN, set_point_c=-5.0)),
        ("chiller_w", replace(PLAIN, chiller_w=-1.0)),
        ("people", replace(PLAIN, people=0)),
    ],
)
def test_a_number_out_of_range_is_refused_by_name(field: str, wrong: TubProfile) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        checked_profile(wrong)
    assert caught.value.name == field


@pytest.mark.parametrize(
    ("month", "day", "part"), [(0, 1, "month"), (13, 1, "month"), (2, 30, "day"), (4, 31, "day")]
)
def test_a_day_that_no_year_has_is_refused(month: int, day: int, part: str) -> None:
    with pytest.raises(OutOfRangeError, match=f"season_opens.{part}"):
        checked_profile(replace(PLAIN, season_opens=MonthDay(month=month, day=day)))


def test_the_29th_of_february_may_open_a_season() -> None:
    leap = replace(PLAIN, season_opens=MonthDay(month=2, day=29))
    assert checked_profile(leap) == leap


@pytest.mark.parametrize(
    ("field", "wrong"), [("name", replace(PLAIN, name=" ")), ("zone", replace(PLAIN, zone=""))]
)
def test_an_empty_name_is_refused(field: str, wrong: TubProfile) -> None:
    with pytest.raises(InputError, match=field):
        checked_profile(wrong)


def test_a_season_of_no_days_is_refused() -> None:
    with pytest.raises(InputError, match="season_closes"):
        checked_profile(replace(PLAIN, season_closes=PLAIN.season_opens))


def test_litres_that_the_dimensions_cannot_hold_are_refused() -> None:
    box = replace(PLAIN, length_m=1.5, width_m=0.7, depth_m=0.6)
    assert checked_profile(replace(box, volume_l=550.0)).volume_l == 550.0
    with pytest.raises(InputError, match="volume_l"):
        checked_profile(replace(box, volume_l=5500.0))


# 61 frost days a year at 36.1 N: typical year of Greensboro, NREL TMY3 station 723170.
@pytest.mark.parametrize(
    ("latitude", "winter"),
    [(60.2, True), (36.1, True), (10.0, False), (-10.0, False), (-45.0, True), (None, True)],
)
def test_winters_follow_from_the_latitude_and_an_unknown_one_counts_as_cold(
    latitude: float | None, winter: bool
) -> None:
    assert climate_has_winter(replace(PLAIN, latitude_deg=latitude)) is winter


def test_a_season_may_wrap_over_new_year() -> None:
    winter = replace(
        PLAIN,
        season_opens=MonthDay(month=11, day=1),
        season_closes=MonthDay(month=3, day=31),
    )
    assert in_open_season(winter, MonthDay(month=1, day=15))
    assert in_open_season(winter, MonthDay(month=11, day=1))
    assert not in_open_season(winter, MonthDay(month=3, day=31))
    assert not in_open_season(winter, MonthDay(month=7, day=15))


@given(profile=profiles)
def test_a_profile_comes_back_from_json_as_it_was(profile: TubProfile) -> None:
    assert profile_from_data(json.loads(json.dumps(profile_to_data(profile)))) == profile


def test_data_without_a_version_and_with_unknown_fields_is_read() -> None:
    data = {"name": "Old", "season_opens": [4, 1], "liner": "grp", "colour": "blue"}
    read = profile_from_data(data)
    assert (read.name, read.season_opens, str(read.liner)) == (
        "Old",
        MonthDay(month=4, day=1),
        "grp",
    )
    assert read.volume_l == TubProfile(name="Old").volume_l


def test_a_profile_of_a_later_version_is_refused() -> None:
    with pytest.raises(InputError, match="version"):
        profile_from_data({"name": "New", "version": PROFILE_VERSION + 1})


@pytest.mark.parametrize(
    "wrong",
    [{"liner": "glass"}, {"season_opens": "April"}, {"volume_l": "much"}, {"people": 2.5}],
)
def test_a_field_that_cannot_be_read_is_named(wrong: dict[str, object]) -> None:
    with pytest.raises(InputError, match=next(iter(wrong))):
        profile_from_data({"name": "Tub", **wrong})
