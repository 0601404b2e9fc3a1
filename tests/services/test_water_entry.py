"""A test is written down as the kit shows it, and kept in mg/L and °C."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.entries import entries
from tubcare.services.history import undo
from tubcare.services.household import WATER_PRICE, change_setting
from tubcare.services.water_dose import add_dose
from tubcare.services.water_doubts import query_test
from tubcare.services.water_entry import Entry, add_test, entry_sheet
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.services.water_now import water_now
from tubcare.services.water_shelf import put_product
from tubcare.store.tables import FillRow
from tubcare.store.unit import table_of
from tubcare.water.compounds import Compound
from tubcare.water.doubt import DoubtKind
from tubcare.water.judged import Standing, Unknown
from tubcare.water.kit import Kit
from tubcare.water.products import usual_product
from tubcare.water.ranges import Quantity
from tubcare.water.strips import Source
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

DAY = date(2026, 5, 1)
FIELDS = ("ph", "free_chlorine_mg_l", "alkalinity_mg_l", "hardness_mg_l", "water_c", "top_up_l")
GERMAN = Kit(
    fields=FIELDS,
    units={
        Dimension.HARDNESS: Unit.GERMAN_DEGREE,
        Dimension.ALKALINITY: Unit.MMOL_L,
        Dimension.TEMPERATURE: Unit.FAHRENHEIT,
    },
)
STRIP = Kit(
    fields=FIELDS,
    strips={"ph": (6.8, 7.2, 7.8, 8.4), "alkalinity_mg_l": (0.0, 40.0, 80.0, 120.0)},
)


def test_units_of_the_kit_are_converted_at_the_edge(desk: Desk, tub: TubId) -> None:
    change_kit(desk, tub, GERMAN)
    add_test(
        desk,
        tub,
        Entry(values={"ph": 7.4, "hardness_mg_l": 5.0, "alkalinity_mg_l": 1.2, "water_c": 41.0}),
    )
    last = entry_sheet(desk, tub).last
    # 1 °dH is 17.85 mg/L CaCO3 (DIN 38409-6), 1 mmol/L of acid capacity 50.04 mg/L.
    assert last["hardness_mg_l"].value == pytest.approx(89.24, abs=0.05)
    assert last["alkalinity_mg_l"].value == pytest.approx(60.05, abs=0.05)
    assert last["water_c"].value == pytest.approx(5.0)


def test_the_kit_asks_only_for_what_it_has_and_undo_brings_the_usual_one_back(
    desk: Desk, tub: TubId
) -> None:
    usual = tub_kit(desk, tub)
    assert "bromine_mg_l" not in usual.fields
    change_kit(desk, tub, Kit(fields=("ph",)))
    assert entry_sheet(desk, tub).kit.fields == ("ph",)
    undo(desk)
    assert tub_kit(desk, tub) == usual


def test_a_colour_is_kept_as_the_band_it_stands_for(desk: Desk, tub: TubId) -> None:
    change_kit(desk, tub, STRIP)
    add_test(desk, tub, Entry(colours={"ph": 1, "alkalinity_mg_l": 2}))
    seen = entry_sheet(desk, tub).last["ph"]
    assert seen.band is not None
    assert (seen.band.low, seen.band.high) == pytest.approx((7.0, 7.5))
    index = water_now(desk, tub).index
    assert index is not None
    assert index.low < index.value < index.high


def test_a_band_across_a_limit_is_neither_inside_nor_outside(desk: Desk, tub: TubId) -> None:
    change_kit(desk, tub, STRIP)
    add_test(desk, tub, Entry(colours={"ph": 2, "alkalinity_mg_l": 1}))
    found = {each.quantity: each for each in water_now(desk, tub).judged}
    assert found[Quantity.PH].standing is Standing.UNKNOWN
    assert found[Quantity.PH].unknown is Unknown.BAND_ACROSS
    assumed = {each.field: each.source for each in water_now(desk, tub).assumed}
    assert assumed["calcium_mg_l"] is Source.TYPICAL


def test_a_warm_sample_is_carried_to_the_tub_and_both_values_are_kept(
    desk: Desk, tub: TubId
) -> None:
    found = add_test(
        desk,
        tub,
        Entry(values={"ph": 7.4, "sample_c": 20.0, "water_c": 4.0, "alkalinity_mg_l": 80.0}),
    )
    assert found.ph_as_read == 7.4
    # A cold tub read at room temperature comes out 0.1 to 0.2 low.
    assert found.values["ph"].value == pytest.approx(7.53, abs=0.06)
    assert entry_sheet(desk, tub).last["ph_as_read"].value == 7.4


def test_topped_up_water_is_a_fill_with_its_charge_in_the_same_action(
    desk: Desk, tub: TubId
) -> None:
    change_setting(desk, WATER_PRICE, "4.00")
    add_test(desk, tub, Entry(values={"ph": 7.4, "top_up_l": 25.0}))
    assert entry_sheet(desk, tub).last["top_up_l"].value == 25.0
    assert [entry.minor for entry in entries(desk, first=DAY, last=DAY)] == [10]
    undo(desk)
    with desk.read() as connection:
        assert connection.execute(table_of(FillRow).select()).first() is None
    assert not entry_sheet(desk, tub).last


@pytest.mark.parametrize(
    ("values", "kind"),
    [
        ({"ph": 9.4}, DoubtKind.UNUSUAL),
        ({"ph": 6.3}, DoubtKind.JUMP),
        ({"ph": 7.4, "alkalinity_mg_l": 160.0}, DoubtKind.JUMP),
        (
            {"ph": 7.4, "free_chlorine_mg_l": 2.0, "total_chlorine_mg_l": 1.0},
            DoubtKind.TOTAL_BELOW_FREE,
        ),
    ],
)
def test_an_unlikely_value_is_asked_about_and_kept_as_written(
    desk: Desk, tub: TubId, clock: StillClock, values: dict[str, float], kind: DoubtKind
) -> None:
    add_test(desk, tub, Entry(values={"ph": 7.4, "alkalinity_mg_l": 80.0}))
    clock.go(days=2)
    entry = Entry(values=values)
    assert [doubt.kind for doubt in query_test(desk, tub, entry)] == [kind]
    add_test(desk, tub, entry)
    last = entry_sheet(desk, tub).last
    assert {name: last[name].value for name in values} == values


def test_a_value_that_a_dose_moved_is_not_asked_about(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_test(desk, tub, Entry(values={"alkalinity_mg_l": 20.0}))
    clock.go(hours=1)
    risen = Entry(values={"alkalinity_mg_l": 90.0})
    assert [each.kind for each in query_test(desk, tub, risen)] == [DoubtKind.JUMP]
    put_product(desk, replace(usual_product(Compound.SODIUM_BICARBONATE), name="Bicarbonate"))
    add_dose(desk, tub, "Bicarbonate", 60.0)
    clock.go(hours=5)
    assert query_test(desk, tub, risen) == ()


def test_a_likely_test_is_not_asked_about(desk: Desk, tub: TubId) -> None:
    assert not query_test(desk, tub, Entry(values={"ph": 7.4, "water_c": 5.0, "clarity": 0.0}))


def test_what_cannot_be_is_refused(desk: Desk, tub: TubId) -> None:
    with pytest.raises(OutOfRangeError):
        add_test(desk, tub, Entry(values={"ph": 15.0}))
    with pytest.raises(InputError, match="at least one"):
        add_test(desk, tub, Entry())
    with pytest.raises(InputError, match="colours"):
        add_test(desk, tub, Entry(colours={"ph": 9}))
    with pytest.raises(InputError, match="does not measure"):
        Kit(fields=("ph",), units={Dimension.HARDNESS: Unit.CELSIUS})
