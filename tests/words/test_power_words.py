"""What people type about power is understood, and told back as it would be typed."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import pytest

from tubcare.energy.drift_test import DriftResult
from tubcare.energy.freezing import Freeze
from tubcare.energy.frost_plan import FrostChoices
from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.uncertainty import Estimate
from tubcare.energy.what_if import Outcome, PayBack
from tubcare.errors import InputError
from tubcare.words.locale import Units, speech_for
from tubcare.words.numbers import NO_BREAK_SPACE
from tubcare.words.power_terms import material_word
from tubcare.words.sentences.drift_readings import (
    example_readings,
    parse_readings,
    readings_text,
)
from tubcare.words.sentences.frost import freeze_told, hours_told, meaning_of_dates
from tubcare.words.sentences.layers import example_layers, layers_text, parse_layers
from tubcare.words.sentences.learning import drift_told, steps_of_drift_test
from tubcare.words.sentences.power import cost_told, kwh_told, pull_down_told
from tubcare.words.sentences.tariff_bands import bands_text, example_bands, parse_bands
from tubcare.words.sentences.what_if import idea_told, pay_back_told, remarks_told

ENGLISH = speech_for({}, chosen="en_GB", currency_code="EUR")
GERMAN = speech_for({}, chosen="de_DE", currency_code="EUR")
SEVEN_HOURS = Estimate(value=7.0, low=5.0, high=10.0)
NAMES = {"xps": "rigid foam (XPS)", "softwood": "softwood", "pu_foam": "PU foam"}


def outcome(*, cannot_hold: bool = False, missing_price_hours: int = 0) -> Outcome:
    return Outcome(
        name="",
        kwh=100.0,
        run_h=50.0,
        cost_minor=3000.0,
        saving_minor=0.0,
        pay_back_seasons=None,
        traps_pump_heat=False,
        cannot_hold=cannot_hold,
        missing_price_hours=missing_price_hours,
    )


def plain(text: str) -> str:
    return text.replace(NO_BREAK_SPACE, " ")


@pytest.mark.parametrize(
    "text",
    ["XPS 80; softwood 20", "xps 80 mm, softwood 20 mm", "rigid foam (XPS) 80; softwood 20"],
)
def test_layers_are_understood_as_people_write_them(text: str) -> None:
    assert parse_layers(ENGLISH, "wall", text, NAMES) == (("xps", 80.0), ("softwood", 20.0))


def test_layers_told_are_understood_again() -> None:
    layers = (("pu_foam", 25.5), ("softwood", 20.0))
    for speech in (ENGLISH, GERMAN):
        assert parse_layers(speech, "wall", layers_text(speech, layers, NAMES), NAMES) == layers


def test_an_unknown_material_or_a_bare_name_is_refused() -> None:
    with pytest.raises(InputError, match="PU foam"):
        parse_layers(ENGLISH, "wall", "straw 80", NAMES)
    with pytest.raises(InputError, match="millimetres"):
        parse_layers(ENGLISH, "wall", "XPS", NAMES)


def test_bands_may_wrap_over_midnight_and_name_days() -> None:
    night, evening = parse_bands(ENGLISH, "bands", "22:00-06:00 0.12; 17-20 Mon-Fri 0.40")
    assert (night.from_minute, night.to_minute, night.price) == (1320, 360, Decimal("0.12"))
    assert (evening.from_minute, evening.weekdays) == (1020, frozenset(range(5)))


def test_days_may_wrap_over_the_week() -> None:
    (band,) = parse_bands(ENGLISH, "bands", "0:00-24:00 Sat-Mon 0.1")
    assert band.weekdays == frozenset({5, 6, 0})


def test_bands_told_are_understood_again() -> None:
    told = "22:00-06:00 0,12; 17:00-20:00 Mo-Fr 0,4"
    bands = parse_bands(GERMAN, "bands", told)
    assert bands_text(GERMAN, bands) == told
    assert parse_bands(ENGLISH, "bands", bands_text(ENGLISH, bands)) == bands


@pytest.mark.parametrize("tag", ["en_GB", "en_US", "de_DE", "fi_FI"])
def test_every_example_can_be_typed_as_it_is_shown(tag: str) -> None:
    speech = speech_for({}, chosen=tag, currency_code="EUR")
    names = {key: material_word(speech, key) for key in ("xps", "softwood", "pu_foam")}
    (_, foam), (_, wood) = parse_layers(speech, "wall", example_layers(speech), names)
    assert (foam, wood) == (80.0, 20.0)
    assert len(parse_bands(speech, "bands", example_bands(speech))) == 2
    *_, (hours, water_c) = parse_readings(speech, "readings", example_readings(speech))
    assert (hours, round(water_c, 1)) == (12.0, 8.0)


def test_a_person_with_us_units_reads_no_celsius_or_kelvin() -> None:
    speech = speech_for({}, chosen="en_US", currency_code="USD")
    told = [
        *steps_of_drift_test(speech),
        *meaning_of_dates(speech, FrostChoices()),
        freeze_told(speech, "Hose", Freeze(to_zero_h=1.0, to_ice_h=None)),
        pull_down_told(speech, SEVEN_HOURS, cooling_w=600.0, fill_c=12.0, air_c=15.0),
    ]
    assert not [text for text in told if "°C" in text or f"{NO_BREAK_SPACE}K" in text]
    assert "32 °F" in plain(told[-2])


def test_a_unit_that_may_never_get_there_is_told_so() -> None:
    perhaps = Estimate(value=20.0, low=12.0, high=math.inf)
    temperatures = {"fill_c": 12.0, "air_c": 15.0}
    narrow = Estimate(value=7.0, low=6.8, high=7.2)
    for hours, said in (
        (narrow, "about 7 h to"),
        (SEVEN_HOURS, "about 7 h (5 to 10)"),
        (perhaps, "about 20 h (12 h or more, perhaps never)"),
        (None, "never reaches"),
    ):
        told = pull_down_told(ENGLISH, hours, cooling_w=600.0, **temperatures)
        assert said in plain(told)


def test_a_negative_price_is_a_price() -> None:
    (band,) = parse_bands(ENGLISH, "bands", "12:00-14:00 -0.05")
    assert band.price == Decimal("-0.05")


@pytest.mark.parametrize("text", ["22-25 0.1", "at night 0.1", "22:00-06:00", "1-2 Foo 0.1"])
def test_bands_that_are_no_times_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_bands(ENGLISH, "bands", text)


def test_drift_readings_come_back_in_the_units_of_the_person() -> None:
    readings = ((0.0, 5.0), (4.5, 6.11))
    assert parse_readings(ENGLISH, "readings", "0 5.0; 4.5 6.11") == readings
    american = ENGLISH.with_units(Units.US)
    told = readings_text(american, readings)
    assert told.startswith("0 41")
    again = parse_readings(american, "readings", told)
    assert again[1][1] == pytest.approx(6.11, abs=0.01)


def test_a_reading_that_is_no_pair_is_refused() -> None:
    with pytest.raises(InputError, match="hours and temperature"):
        parse_readings(ENGLISH, "readings", "5.0")


def test_a_range_is_told_only_where_there_is_one() -> None:
    assert plain(kwh_told(ENGLISH, Estimate(value=52.0, low=41.0, high=66.0))) == (
        "52 kWh (41 to 66)"
    )
    assert plain(kwh_told(ENGLISH, Estimate(value=52.0, low=52.0, high=52.0))) == "52 kWh"


@pytest.mark.parametrize(
    ("estimate", "told"),
    [
        ((8122, 6595, 10107), "€81.22 (€65 to €102)"),
        ((832, 607, 911), "€8.32 (€6.07 to €9.11)"),
        ((-509, -1595, 367), "-€5.09 (-€16 to €4)"),
        ((8122, 8122, 8122), "€81.22"),
    ],
)
def test_a_range_of_money_is_told_as_roughly_as_it_is_known_and_holds_its_middle(
    estimate: tuple[int, int, int], told: str
) -> None:
    value, low, high = estimate
    assert cost_told(ENGLISH, Estimate(value=value, low=low, high=high)) == told


@pytest.mark.parametrize(
    ("between", "told"),
    [
        (None, "3.0 seasons"),
        (PayBack(soonest=2.04, latest=4.5), "3.0 seasons (2.0 to 4.5)"),
        (PayBack(soonest=2.04, latest=None), "3.0 seasons (2.0 to never)"),
        (PayBack(soonest=2.98, latest=3.02), "3.0 seasons"),
    ],
)
def test_a_pay_back_is_told_with_its_range(between: PayBack | None, told: str) -> None:
    found = replace(outcome(), pay_back_seasons=3.0, pay_back_range=between)
    assert plain(pay_back_told(ENGLISH, found)) == told


def test_what_holds_for_the_tub_as_it_is_is_told_once() -> None:
    lid = Idea(kind=IdeaKind.LID, build_up="foam_lid_80")
    shade = Idea(kind=IdeaKind.SHADING, amount=0.8)
    compared = [
        (None, outcome(cannot_hold=True, missing_price_hours=24)),
        (shade, outcome(cannot_hold=True, missing_price_hours=24)),
        (lid, outcome(missing_price_hours=24)),
    ]
    base, better = remarks_told(ENGLISH, compared)
    assert base.startswith("As it is: In some hours the unit is too small")
    assert "24 hours have no price yet" in base
    assert plain(better) == "Lid: foam lid, 80 mm: With it the unit can hold the set point."


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (None, "not at this air temperature"),
        # Rounded down to five minutes: somebody plans a cold night by it.
        (0.32, "about 15 min"),
        (2.0, "about 2 h"),
        (14.2, "about 14 hours"),
        (146.0, "about 6.1 days"),
    ],
)
def test_the_time_to_freezing_is_told_as_roughly_as_it_is_known(
    hours: float | None, told: str
) -> None:
    assert plain(hours_told(ENGLISH, hours)) == told


@pytest.mark.parametrize(
    ("idea", "told"),
    [
        (None, "As it is"),
        (Idea(kind=IdeaKind.SET_POINT, amount=8.0), "Set point 8 °C"),
        (Idea(kind=IdeaKind.PUMP_HOURS, amount=8.0), "Pump 8 h a day"),
        (Idea(kind=IdeaKind.SHADING, amount=0.8), "Shade for 80% of the sun"),
        (Idea(kind=IdeaKind.LID, build_up="foam_lid_80"), "Lid: foam lid, 80 mm"),
        (Idea(kind=IdeaKind.WALL, build_up="wood_40"), "Wall: wood, 40 mm"),
        (Idea(kind=IdeaKind.SEASON, amount=14.0), "Close 14 days earlier"),
        (Idea(kind=IdeaKind.SEASON, amount=-7.0), "Close 7 days later"),
        (Idea(kind=IdeaKind.PRICE, amount=0.2), "One price, 0.2 EUR"),
    ],
)
def test_each_idea_has_a_name(idea: Idea | None, told: str) -> None:
    assert plain(idea_told(ENGLISH, idea)) == told


def test_a_drift_test_says_what_would_make_it_better() -> None:
    result = DriftResult(
        ua_w_k=5.0,
        fit_error_w_k=0.1,
        error_w_k=0.2,
        time_constant_h=90.0,
        advice=("drift.longer", "drift.warmer_air", "drift.longer_rise"),
    )
    told = drift_told(ENGLISH, result)
    assert "5.0 W/K" in told[0]
    assert all(line.startswith("Better:") for line in told[1:])
    assert len(told) == 4
