"""``tubcare water`` through the one door of the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.test_json_fields import documents, fields_of

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.terminal import Terminal


def test_untested_water_says_how_to_write_down_a_test(tub: Terminal) -> None:
    assert tub.run("water") == 0
    assert "tubcare water test" in tub.out


def test_the_water_is_told_with_a_shape_and_stable_fields(tub: Terminal) -> None:
    assert tub.run("reading", "ph=8.2", "free_chlorine_mg_l=2", "alkalinity_mg_l=60") == 0
    assert tub.run("water") == 0
    assert "^  pH" in tub.out
    found = tub.read("water")
    assert found["outside"] == 1
    assert found["readings"][0]["standing"] == "above"
    assert found["readings"][0]["by"] == pytest.approx(0.4)


def test_the_terminal_never_says_safe(tub: Terminal) -> None:
    assert tub.run("reading", "ph=7.4", "free_chlorine_mg_l=2", "alkalinity_mg_l=60") == 0
    assert tub.run("water") == 0
    assert "safe" not in tub.out.replace("Guidelines for safe", "").casefold()


@pytest.fixture
def acid_due(tub: Terminal) -> Terminal:
    """Return a terminal whose water is to be dosed with an acid that stands on the shelf."""
    tub.do("water", "product", "Minus", "--compound", "sodium_bisulfate")
    tub.do("buy", "9.50", "Minus", "--quantity", "1000", "--unit", "g")
    tub.do("water", "scoop", "spoon", "1", "--for", "solid")
    tub.do("reading", "ph=8.2", "alkalinity_mg_l=60", "free_chlorine_mg_l=2")
    return tub


def test_a_plan_is_shown_with_its_cost_and_cautions(acid_due: Terminal) -> None:
    told = acid_due.do("water", "plan")
    assert "Caution: Never let acid meet any chlorine product" in told
    assert "one after the other. In all " in told
    assert acid_due.read("water", "plan")["steps"][0]["measure"] == "spoon"


def test_the_week_names_what_to_add_with_its_cautions(acid_due: Terminal) -> None:
    told = acid_due.do("week")
    assert "to add: " in told
    assert "Caution: Never let acid meet any chlorine product" in told


def test_a_step_of_the_plan_is_ticked_once_and_not_before_the_test(acid_due: Terminal) -> None:
    assert acid_due.run("water", "done", "1", "--on", "2026-01-01") == 4
    assert "before the test" in acid_due.err
    done = acid_due.read("water", "done", "1")
    assert set(done) == fields_of(documents()["water done STEP"])[0]
    assert acid_due.read("water", "plan")["steps"][0]["done_at"]
    assert acid_due.run("water", "done", "1") == 3
    assert "Step 1 was ticked already, by Ann on 25 Nov at " in acid_due.err
    assert "somebody" not in acid_due.err


def test_an_error_about_the_ph_spells_it_as_it_is_spelt(tub: Terminal) -> None:
    assert tub.run("reading", "ph=15") == 4
    assert "pH: " in tub.err
    assert "PH: " not in tub.err


def test_a_pad_without_steps_is_taken_away_and_the_value_is_read_again(tub: Terminal) -> None:
    assert tub.run("water", "kit", "--strip", "ph=6.8;7.2;7.8", "--unit", "hardness=gpg") == 0
    assert tub.run("water", "test", "ph=7.4") == 4
    assert tub.run("water", "kit", "--strip", "ph=") == 0
    assert tub.run("water", "test", "ph=7.4") == 0
    assert tub.run("water", "kit", "--unit", "hardness=grains") == 4
    assert "gpg" in tub.err


def test_a_step_in_the_wait_of_the_one_before_is_recorded_and_the_wait_told(
    acid_due: Terminal,
) -> None:
    assert "the wait after step" not in acid_due.do("water", "done", "1", "--at", "12:00")
    told = acid_due.do("water", "done", "2", "--at", "12:10")
    assert "Recorded: Add" in told
    assert "It was done in the wait after step 1, which ran until 1:00" in told


def test_only_the_last_step_of_a_plan_sends_to_the_next_test(tub: Terminal) -> None:
    assert tub.run("water", "product", "Minus", "--compound", "sodium_bisulfate") == 0
    assert tub.run("reading", "ph=8.2", "alkalinity_mg_l=60", "free_chlorine_mg_l=2") == 0
    steps = len(tub.read("water", "plan")["steps"])
    told = []
    for number in range(1, steps + 1):
        assert tub.run("water", "done", str(number)) == 0
        told.append("then test again" in tub.out)
    assert told == [False] * (steps - 1) + [True]


def test_ranges_fill_waters_and_the_shelf_are_kept_from_the_terminal(tub: Terminal) -> None:
    assert tub.run("water", "source", "tap", "ph=7.6", "alkalinity_mg_l=45") == 0
    assert tub.read("water", "shelf")["sources"][0]["name"] == "tap"
    assert tub.run("water", "range", "ph", "--low", "7", "--aim", "7.4", "--high", "8.4") == 0
    assert "Loosened" in tub.out
    edited = next(r for r in tub.read("water", "ranges")["ranges"] if r["quantity"] == "ph")
    assert edited["loosened"] == ["high"]
    assert tub.run("water", "range", "ph", "--reset") == 0
    assert tub.run("water", "scoop", "none", "--drop") == 3


def test_the_shelf_names_products_that_must_never_meet(tub: Terminal) -> None:
    for name, compound in (("Bleach", "sodium_hypochlorite"), ("Soda", "soda_ash")):
        assert tub.run("water", "product", name, "--compound", compound) == 0
    assert tub.read("water", "shelf")["never_together"] == []
    assert tub.run("water", "product", "Minus", "--compound", "sodium_bisulfate") == 0
    assert tub.read("water", "shelf")["never_together"] == [["Bleach", "Minus"]]
    assert tub.run("water", "shelf") == 0
    assert "Never let meet" in tub.out


def test_an_end_of_a_range_that_nothing_is_said_of_stays(tub: Terminal) -> None:
    assert tub.run("water", "range", "ph", "--low", "6.8") == 0
    assert "pH: 6.8 to 7.8" in tub.out
    assert tub.run("water", "range", "ph", "--high", "none") == 0
    assert "pH: at least 6.8" in tub.out


@pytest.mark.parametrize(
    "words",
    [
        ("source", "Tap", "alkalinity_mg_l=50"),
        ("source", "Tap", "ph=7.4"),
        ("scoop", "spoon"),
        ("range", "ph", "--low", "seven"),
        ("range", "bromine", "--low", "2"),
    ],
)
def test_what_is_missing_or_no_number_is_said_and_nothing_kept(
    tub: Terminal, words: tuple[str, ...]
) -> None:
    assert tub.run("water", *words) == 4
    assert tub.run("water", "shelf") == 0
    assert "Tap" not in tub.out
    assert "spoon" not in tub.out


def test_a_test_of_an_earlier_time_is_written_down(tub: Terminal) -> None:
    written = tub.read("water", "test", "ph=7.3", "--on", "2025-05-02", "--at", "08:15")
    assert written["at"] == "2025-05-02T06:15:00+00:00"


def test_a_test_is_written_down_in_the_units_of_the_kit(tub: Terminal) -> None:
    assert tub.run("water", "kit", "--unit", "hardness=°dH", "--strip", "ph=6.8,7.2,7.8") == 0
    words = ("ph=7.2", "hardness_mg_l=4", "clarity=hazy")
    found = tub.read("water", "test", *words)
    assert found["values"]["hardness_mg_l"] == pytest.approx(71.39, abs=0.05)
    assert found["values"]["clarity"] == 1.0
    assert tub.run("water", "test", "ph=7.5") == 4
    assert "7.2" in tub.err


def test_borate_is_read_and_its_part_is_told(tub: Terminal) -> None:
    assert tub.run("water", "kit", "--fields", "ph,alkalinity_mg_l,boron_mg_l") == 0
    assert tub.run("water", "test", "ph=7.6", "alkalinity_mg_l=80", "boron_mg_l=40") == 0
    assert tub.run("water") == 0
    assert "Borate carries" in tub.out
    assert 0 < tub.read("water")["borate_alkalinity_mg_l"] < 10


def test_an_unlikely_value_is_kept_only_when_the_person_is_sure(tub: Terminal) -> None:
    assert tub.run("water", "test", "ph=9.5") == 3
    assert "--sure" in tub.err
    assert tub.run("water", "test", "ph=9.5", "--sure") == 0
    assert tub.read("water")["readings"][0]["value"] == 9.5


def test_the_course_of_a_reading_is_shown_with_what_is_expected(tub: Terminal) -> None:
    assert tub.run("reading", "ph=7.1", "alkalinity_mg_l=60") == 0
    assert tub.run("water", "course", "ph") == 0
    assert "expected" in tub.out
    found = tub.read("water", "course", "ph")
    assert found["days"][0]["measured"] == 7.1
    assert found["next_test"] == "2026-11-28"


def test_readings_go_to_a_file_and_come_from_one_all_or_nothing(
    tub: Terminal, tmp_path: Path
) -> None:
    file = tmp_path / "in.csv"
    file.write_text("day,acidity\n2026-11-01,7.4\n2026-11-03,7.5\n", encoding="utf-8")
    seen = tub.read("water", "import", str(file), "--map", "acidity=ph")
    assert (seen["new"], seen["taken"]) == (2, False)
    assert set(seen) == fields_of(documents()["water import"])[0]
    assert tub.read("water", "import", str(file), "--map", "acidity=ph", "--take")["taken"]
    out = tmp_path / "out.csv"
    assert tub.run("water", "export", str(out)) == 0
    assert out.read_text(encoding="utf-8-sig").splitlines()[1].startswith("2026-11-01T12:00")
    file.write_text("day,ph\n2026-11-05,7.4\n2026-11-06,99\n", encoding="utf-8")
    assert tub.run("water", "import", str(file), "--take") == 4
    assert "Line 3" in tub.out
    assert len(out.read_text(encoding="utf-8-sig").splitlines()) == 3


@pytest.fixture
def dosed(tub: Terminal) -> Terminal:
    """Return a terminal whose water was dosed from the shelf and read."""
    tub.do("water", "product", "Bleach", "--compound", "sodium_hypochlorite")
    tub.do("buy", "4", "Bleach", "--quantity", "1000", "--unit", "ml")
    tub.do("water", "dose", "bleach", "20")
    tub.do("reading", "ph=7.4")
    return tub


def test_a_dose_and_a_reading_are_deleted_by_their_marks(dosed: Terminal) -> None:
    marks = {each["kind"]: each["record"] for each in dosed.read("records")["records"]}
    told = dosed.do("records", "--delete", marks["dose"])
    assert "Deleted: Added: Bleach, 20\N{NO-BREAK SPACE}ml" in told
    dosed.do("records", "--delete", marks["reading"])
    assert dosed.read("records")["records"] == []


def test_a_deleted_dose_is_back_on_the_shelf_until_that_is_taken_back(dosed: Terminal) -> None:
    marks = {each["kind"]: each["record"] for each in dosed.read("records")["records"]}
    dosed.do("records", "--delete", marks["dose"])
    assert dosed.read("water", "shelf")["products"][0]["left"] == 1000
    dosed.do("undo")
    assert dosed.read("water", "shelf")["products"][0]["left"] == 980


def test_a_mark_that_is_not_there_says_where_marks_are_shown(dosed: Terminal) -> None:
    assert dosed.run("records", "--delete", "dose:99") == 4
    assert "shows the mark of each" in dosed.err


def test_a_dose_outside_the_plan_is_written_down_with_its_cautions(tub: Terminal) -> None:
    assert tub.run("water", "product", "Bleach", "--compound", "sodium_hypochlorite") == 0
    assert tub.run("water", "dose", "bleach", "20") == 0
    assert "Caution: Never mix with another kind of chlorine" in tub.out
    found = tub.read("water", "dose", "bleach", "5")
    assert set(found) == fields_of(documents()["water dose PRODUCT AMOUNT"])[0]
    assert tub.run("water", "dose", "nothing", "5") == 3
