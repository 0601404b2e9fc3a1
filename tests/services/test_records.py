"""What was written down lately, what to ask for next, and what looks like a slip."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tubcare.errors import NotFoundError
from tubcare.services.entries import entries
from tubcare.services.history import undo
from tubcare.services.household import POWER_PRICE, WATER_PRICE, change_setting
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.reading_kit import (
    LastValue,
    reading_kit,
    unlikely_meter,
    unlikely_values,
)
from tubcare.services.records import RecordKind, delete_record, recent_records
from tubcare.services.water_dose import add_dose
from tubcare.services.water_kit import change_kit
from tubcare.services.water_shelf import put_product
from tubcare.values import Sanitiser, TubId, TubProfile
from tubcare.water.compounds import Compound
from tubcare.water.kit import Kit
from tubcare.water.products import usual_product
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk

DAY = date(2026, 5, 1)


def new_tub(desk: Desk, sanitiser: Sanitiser = Sanitiser.CHLORINE) -> TubId:
    profile = TubProfile(name="North", zone="Europe/Helsinki", sanitiser=sanitiser)
    return add_tub_with_plan(desk, profile).tub


def written(desk: Desk, clock: StillClock) -> TubId:
    change_setting(desk, POWER_PRICE, "0.20")
    change_setting(desk, WATER_PRICE, "4.00")
    tub = new_tub(desk)
    add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=100_000))
    clock.go(hours=1)
    add_dip(desk, tub, dips=2, person="Bo", minutes=3, water_c=5.5)
    clock.go(hours=1)
    add_readings(desk, tub, {"ph": 7.4})
    clock.go(hours=1)
    label = replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach")
    supply = put_product(desk, label)
    add_dose(desk, tub, supply, 30.0)
    clock.go(hours=1)
    add_fill(desk, tub, 500, kind="fill")
    clock.go(hours=1)
    add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=150_000))
    return tub


def test_records_of_all_kinds_come_newest_first(desk: Desk, clock: StillClock) -> None:
    found = recent_records(desk, written(desk, clock))
    assert [record.kind for record in found] == [
        RecordKind.METER,
        RecordKind.FILL,
        RecordKind.DOSE,
        RecordKind.READING,
        RecordKind.DIP,
        RecordKind.METER,
    ]
    dose, dip = found[2], found[4]
    assert (dose.name, dose.amount, dose.unit, dose.who) == ("Bleach", 30.0, "ml", "Ann")
    assert (dip.who, dip.amount, dip.minutes, dip.water_c) == ("Bo", 2, 3, 5.5)


@pytest.mark.parametrize("kind", RecordKind)
def test_each_kind_of_record_is_deleted_with_its_charge_and_undo_brings_it_back(
    desk: Desk, clock: StillClock, kind: RecordKind
) -> None:
    tub = written(desk, clock)
    before = facts(desk.store)
    charges = len(entries(desk, first=DAY, last=DAY))
    record = next(each for each in recent_records(desk, tub) if each.kind is kind)
    delete_record(desk, record)
    assert record not in recent_records(desk, tub)
    gone = charges - len(entries(desk, first=DAY, last=DAY))
    assert gone == (kind in {RecordKind.METER, RecordKind.FILL})
    undo(desk)
    assert facts(desk.store) == before


def test_a_record_that_is_gone_is_told(desk: Desk, clock: StillClock) -> None:
    tub = written(desk, clock)
    dip = next(r for r in recent_records(desk, tub) if r.kind is RecordKind.DIP)
    delete_record(desk, dip)
    with pytest.raises(NotFoundError):
        delete_record(desk, dip)


def test_a_tub_asks_for_what_its_treatment_and_its_tasks_need(desk: Desk) -> None:
    kit = reading_kit(desk, new_tub(desk))
    assert kit.asked[:2] == ("ph", "free_chlorine_mg_l")
    assert {"water_c", "air_c"} <= set(kit.asked)
    assert "bromine_mg_l" not in kit.asked
    assert not set(kit.asked) & set(kit.others)


def test_a_tub_without_a_chemical_asks_for_none(desk: Desk) -> None:
    kit = reading_kit(desk, new_tub(desk, Sanitiser.FREQUENT_CHANGE))
    assert not {"free_chlorine_mg_l", "bromine_mg_l", "peroxide_mg_l"} & set(kit.asked)


def test_the_last_values_are_shown_and_what_was_measured_once_is_asked_again(
    desk: Desk, clock: StillClock
) -> None:
    tub = new_tub(desk)
    add_readings(desk, tub, {"ph": 7.9, "hardness_mg_l": 120})
    clock.go(days=1)
    add_readings(desk, tub, {"ph": 7.3})
    add_meter_reading(desk, tub, MeterValue(counter="pump_h", value_milli=12_500))
    kit = reading_kit(desk, tub)
    assert kit.last["ph"] == LastValue(value=7.3, on=date(2026, 5, 2))
    assert kit.last["hardness_mg_l"].on == DAY
    assert "hardness_mg_l" in kit.asked
    assert kit.meters["pump_h"].value == 12.5


def test_a_kit_of_the_person_s_own_decides_what_is_asked(desk: Desk) -> None:
    tub = new_tub(desk)
    change_kit(
        desk,
        tub,
        Kit(
            fields=("ph", "hardness_mg_l", "smell"),
            units={Dimension.HARDNESS: Unit.GERMAN_DEGREE},
        ),
    )
    kit = reading_kit(desk, tub)
    assert kit.asked[:2] == ("ph", "hardness_mg_l")
    assert "free_chlorine_mg_l" in kit.others
    assert "smell" not in {*kit.asked, *kit.others}


def test_unlikely_values_are_named_and_likely_ones_are_not() -> None:
    found = unlikely_values({"ph": 4.1, "water_c": 5.0, "free_chlorine_mg_l": 1.5}, {})
    assert [each.quantity for each in found] == ["ph"]


def test_a_slipped_decimal_sign_shows_against_the_last_value() -> None:
    last = {"free_chlorine_mg_l": LastValue(value=0.9, on=DAY)}
    (found,) = unlikely_values({"free_chlorine_mg_l": 9.0}, last)
    assert found.is_jump
    assert unlikely_values({"free_chlorine_mg_l": 2.0}, last) == ()


@pytest.mark.parametrize(
    ("counter", "value", "most"),
    [
        # Two days have 48 h; 0.3 kW and 2 kW besides take 2.3 kW · 48 h = 110.4 kWh, by hand.
        ("pump_h", 148.0, None),
        ("pump_h", 149.0, 48.0),
        ("kwh", 210.0, None),
        ("kwh", 211.0, 110.4),
        ("litre", 9_999.0, None),
        ("kwh", 99.0, None),
    ],
)
def test_a_meter_that_went_up_more_than_it_can_is_asked_about(
    counter: str, value: float, most: float | None
) -> None:
    last = LastValue(value=100.0, on=DAY)
    profile = TubProfile(name="North", chiller_w=260, pump_w=40)
    found = unlikely_meter(profile, counter, value, last, date(2026, 5, 2))
    assert found == (None if most is None else pytest.approx(most))
