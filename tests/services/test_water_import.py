"""Readings from a file: columns mapped, looked at first, taken over whole or not at all."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tests.support.plans import add_tub
from tubcare.errors import InputError
from tubcare.exchange.readings_csv import (
    ColumnUse,
    offered_uses,
    read_readings,
    readings_csv,
)
from tubcare.services.history import undo
from tubcare.services.measures import add_readings
from tubcare.services.water_entry import Entry, add_test, entry_sheet
from tubcare.services.water_import import all_samples, preview_readings, take_readings
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import Kit
from tubcare.water.strips import Band
from tubcare.water.units import Unit
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.services.water_import import IncomingSample
    from tubcare.values import TubId

ZONE = "Europe/Helsinki"
SPEECH = speech_for({}, chosen="en_GB")
FOREIGN = """\
Day;pH;Calcium hardness [°dH];Free chlorine (ppm);remark
2026-04-20 18:30;7,4;5;1,5;clear
2026-04-22;7,6;4,5;1,1;=HYPERLINK("x")
"""


def incoming(text: str) -> tuple[IncomingSample, ...]:
    uses = offered_uses(text, SPEECH)
    found = read_readings(text, uses, ZONE)
    assert not found.faults
    return found.samples


def test_columns_are_offered_by_their_names_and_units() -> None:
    offered = {use.column: (use.holds, use.unit) for use in offered_uses(FOREIGN, SPEECH)}
    assert offered == {
        "Day": ("at", None),
        "pH": ("ph", None),
        "Calcium hardness [°dH]": ("hardness_mg_l", Unit.GERMAN_DEGREE),
        "Free chlorine (ppm)": ("free_chlorine_mg_l", Unit.PPM),
        "remark": ("note", None),
    }


SPREADSHEET = """\
Datum;Uhrzeit;pH;Bemerkung
20.11.2025;18:05;7,4;nach dem Regen
1.12.2025;9:30;7,6;
3.12.2025;;7,5;
"""


def test_a_day_with_dots_and_a_time_beside_it_are_read() -> None:
    found = incoming(SPREADSHEET)
    assert [each.at for each in found] == [
        datetime(2025, 11, 20, 16, 5, tzinfo=UTC),
        datetime(2025, 12, 1, 7, 30, tzinfo=UTC),
        datetime(2025, 12, 3, 10, 0, tzinfo=UTC),
    ]
    assert found[0].note == "nach dem Regen"


@pytest.mark.parametrize("day", ["31.11.2025", "11/20/2025", "20.11.25", "20.11.2025 25:00"])
def test_a_day_that_is_none_or_could_be_two_is_refused(day: str) -> None:
    uses = (ColumnUse(column="Day", holds="at"), ColumnUse(column="pH", holds="ph"))
    found = read_readings(f"Day;pH\n{day};7,4\n", uses, ZONE)
    assert found.samples == ()
    assert "is no day" in found.faults[0].reason


def test_a_column_called_time_alone_holds_the_day_too() -> None:
    (found,) = incoming("Time,pH\n2025-11-20 18:05,7.4\n")
    assert found.at == datetime(2025, 11, 20, 16, 5, tzinfo=UTC)


def test_a_file_is_looked_at_before_anything_is_written(desk: Desk, tub: TubId) -> None:
    before = facts(desk.store)
    found = preview_readings(desk, tub, incoming(FOREIGN))
    assert (found.samples, found.new, found.known) == (2, 6, 0)
    assert found.span is not None
    assert [f"{day:%d.%m.}" for day in found.span] == ["20.04.", "22.04."]
    assert facts(desk.store) == before


def test_it_is_taken_over_in_one_action_with_units_and_local_times(desk: Desk, tub: TubId) -> None:
    before = facts(desk.store)
    take_readings(desk, tub, incoming(FOREIGN))
    _place, samples = all_samples(desk, tub)
    # 18:30 in Helsinki in April is 15:30 UTC; a day alone is noon; 1 °dH is 17.85 mg/L.
    assert samples[0].at == datetime(2026, 4, 20, 15, 30, tzinfo=UTC)
    assert samples[0].values["hardness_mg_l"].value == pytest.approx(89.24, abs=0.05)
    assert samples[1].at == datetime(2026, 4, 22, 9, 0, tzinfo=UTC)
    undo(desk)
    assert facts(desk.store) == before


def test_values_that_are_there_already_stay_as_they_are(desk: Desk, tub: TubId) -> None:
    take_readings(desk, tub, incoming(FOREIGN))
    again = preview_readings(desk, tub, incoming(FOREIGN))
    assert (again.new, again.known) == (0, 6)
    with pytest.raises(InputError, match="nothing that is not in the logbook"):
        take_readings(desk, tub, incoming(FOREIGN))


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("2026-04-24;74;5;1;", "outside"),
        ("2027-04-24;7.4;5;1;", "yet to come"),
    ],
)
def test_one_bad_value_keeps_all_of_the_file_out(
    desk: Desk, tub: TubId, row: str, reason: str
) -> None:
    before = facts(desk.store)
    samples = incoming(f"{FOREIGN}{row}\n")
    (fault,) = preview_readings(desk, tub, samples).faults
    assert fault.line == 4
    assert reason in fault.reason
    with pytest.raises(InputError, match="line 4"):
        take_readings(desk, tub, samples)
    assert facts(desk.store) == before


@pytest.mark.parametrize(
    ("row", "reason"),
    [("tomorrow;7.4;5;1;", "no day"), ("2026-04-24;good;5;1;", "not a number")],
)
def test_a_line_that_cannot_be_read_is_named(row: str, reason: str) -> None:
    text = f"{FOREIGN}{row}\n"
    found = read_readings(text, offered_uses(text, SPEECH), ZONE)
    assert [(fault.line, reason in fault.reason) for fault in found.faults] == [(4, True)]


def test_a_mapping_needs_a_day_and_no_column_twice() -> None:
    with pytest.raises(InputError, match="which column holds the day"):
        read_readings(FOREIGN, [ColumnUse(column="pH", holds="ph")], ZONE)
    both = [ColumnUse(column=name, holds="ph") for name in ("pH", "remark")]
    with pytest.raises(InputError, match="two columns"):
        read_readings(FOREIGN, [ColumnUse(column="Day", holds="at"), *both], ZONE)


def test_what_is_exported_comes_back_the_same(desk: Desk, tub: TubId, clock: StillClock) -> None:
    add_readings(desk, tub, {"ph": 7.4, "free_chlorine_mg_l": 1.5}, note="=1+1")
    clock.go(days=1, hours=3)
    add_readings(desk, tub, {"ph": 7.3, "total_chlorine_mg_l": 2.0})
    place, samples = all_samples(desk, tub)
    text = readings_csv(samples, place.zone)
    assert "'=1+1" in text
    other = add_tub(desk, name="South")
    take_readings(desk, other, incoming(text))
    _place, back = all_samples(desk, other)
    assert [(s.at, s.values, s.note) for s in back] == [(s.at, s.values, s.note) for s in samples]


def test_the_band_of_a_strip_is_exported_with_both_ends(desk: Desk, tub: TubId) -> None:
    change_kit(desk, tub, Kit(fields=("ph",), strips={"ph": (6.8, 7.2, 7.8)}))
    add_test(desk, tub, Entry(colours={"ph": 1}))
    assert entry_sheet(desk, tub).last["ph"].band is not None
    place, samples = all_samples(desk, tub)
    head, row = readings_csv(samples, place.zone).splitlines()
    assert head == "at,ph,ph low,ph high,note"
    assert row.split(",")[1:4] == ["7.25", "7.0", "7.5"]


def test_the_band_of_a_strip_comes_back_with_its_test(desk: Desk, tub: TubId) -> None:
    pads = {"ph": (6.8, 7.2, 7.8), "alkalinity_mg_l": (0.0, 40.0, 80.0)}
    change_kit(desk, tub, Kit(fields=tuple(pads), strips=pads))
    add_test(desk, tub, Entry(colours={"ph": 1, "alkalinity_mg_l": 2}))
    place, samples = all_samples(desk, tub)
    other = add_tub(desk, name="South")
    take_readings(desk, other, incoming(readings_csv(samples, place.zone)))
    _place, back = all_samples(desk, other)
    assert [each.values for each in back] == [each.values for each in samples]
    assert back[0].values["alkalinity_mg_l"].band == Band(low=60.0, high=80.0)


def test_the_ends_of_a_band_are_read_in_the_unit_of_their_columns(desk: Desk, tub: TubId) -> None:
    text = "day;alkalinity low [°dH];alkalinity high [°dH]\n2026-04-20;2;4\n"
    take_readings(desk, tub, incoming(text))
    _place, (sample,) = all_samples(desk, tub)
    seen = sample.values["alkalinity_mg_l"]
    # 1 °dH is 17.85 mg/L as CaCO3 (10 mg/L CaO, molar masses).
    assert seen.band is not None
    assert (seen.band.low, seen.band.high) == pytest.approx((35.7, 71.4), abs=0.02)
    assert seen.value == pytest.approx(53.5, abs=0.1)


@pytest.mark.parametrize(
    ("ends", "reason"),
    [("7.0;", "one end of its band only"), ("7.5;7.0", "high end below its low one")],
)
def test_half_a_band_or_one_upside_down_is_named_with_its_line(ends: str, reason: str) -> None:
    text = f"day;pH;pH low;pH high\n2026-04-20;7.2;{ends}\n"
    (fault,) = read_readings(text, offered_uses(text, SPEECH), ZONE).faults
    assert (fault.line, fault.column) == (2, "ph")
    assert reason in fault.reason


def test_a_value_outside_its_own_band_keeps_the_file_out(desk: Desk, tub: TubId) -> None:
    samples = incoming("day;pH;pH low;pH high\n2026-04-20;7.2;7.4;7.8\n")
    (fault,) = preview_readings(desk, tub, samples).faults
    assert "does not hold its value" in fault.reason
