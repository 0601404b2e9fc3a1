"""Frost at a tub, from the file that a person imports to the task that comes in time.

Expected dates follow from the made-up file: seasons 0..19 with their first frost on 1 October + n
days. Of 20 seasons the 10 % quantile at positions i/(n+1) is the value at place 2.1 (Hyndman and
Fan 1996, definition 6): 1.1 days after 1 October, so 2 October; with the hard frost 28 days later
and 5 days of lead, 25 October.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tests.support.winters import minima_csv, without
from tubcare.care.model import Edge, TubState
from tubcare.energy.frost_dates import DailyMinima, SeasonStart
from tubcare.energy.frost_plan import FrostChoices, dates_by_risk
from tubcare.energy.weather_columns import Question, Unit
from tubcare.energy.weather_text import Answers
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.calendar import calendar
from tubcare.services.facts import read_plan
from tubcare.services.frost import (
    FrostSource,
    choose_frost,
    frost,
    type_frost_dates,
)
from tubcare.services.frost_import import import_minima, preview_minima
from tubcare.services.frost_tonight import if_power_fails_tonight
from tubcare.services.history import undo
from tubcare.services.measures import add_readings
from tubcare.services.tubs import enter_state
from tubcare.services.weather_store import figures_as_text, figures_from_text
from tubcare.services.week import this_week
from tubcare.store.tables import FrostPlanRow, WeatherRow
from tubcare.store.unit import table_of
from tubcare.values import MonthDay, TubId

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

BEFORE_DRY = [{"kind": "season", "edge": "frost_dry", "offset_days": -5}]
WATCH = [{"kind": "season", "edge": "frost_watch", "offset_days": 0}]


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 9, 20))


def rows(desk: Desk) -> tuple[int, int]:
    weather, plan = table_of(WeatherRow), table_of(FrostPlanRow)
    with desk.read() as connection:
        return (
            len(connection.execute(select(weather.c.id)).all()),
            len(connection.execute(select(plan.c.id)).all()),
        )


def test_twenty_winters_give_both_dates_at_ten_percent(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    found = frost(desk, tub)
    assert found.source is FrostSource.MEASURED
    assert found.watch_from is not None
    assert found.watch_from.on == date(2026, 10, 2)
    assert found.dry_by is not None
    assert found.dry_by.on == date(2026, 10, 25)


def test_spring_is_watched_until_the_last_frost(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    until = frost(desk, tub).watch_until
    assert until is not None
    assert until.on == date(2027, 4, 1)


def test_after_the_last_frost_the_dates_are_those_of_the_coming_autumn(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    for day, autumn in ((date(2027, 4, 1), 2026), (date(2027, 4, 2), 2027)):
        clock.set(day)
        watch = frost(desk, tub).watch_from
        assert watch is not None
        assert watch.on == date(autumn, 10, 2)


def test_a_file_in_fahrenheit_gives_the_same_dates(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(unit="F"), source="station.csv")
    found = frost(desk, tub)
    assert found.watch_from is not None
    assert found.watch_from.on == date(2026, 10, 2)


def test_the_unit_is_asked_when_the_file_does_not_tell(desk: Desk, tub: TubId) -> None:
    text = minima_csv(unit="")
    assert preview_minima(desk, tub, text).questions == (Question.TEMPERATURE_UNIT,)
    answered = preview_minima(desk, tub, text, Answers(unit=Unit.CELSIUS))
    assert answered.usable
    assert answered.seasons == 20


def test_an_unanswered_file_changes_nothing(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="temperature_unit"):
        import_minima(desk, tub, minima_csv(unit=""), source="station.csv")
    assert rows(desk) == (0, 0)


def test_gaps_are_told_and_a_season_with_a_long_one_is_left_out(desk: Desk, tub: TubId) -> None:
    text = without(minima_csv(), date(2001, 8, 1), 30)
    preview = preview_minima(desk, tub, text)
    assert [(gap.first, gap.days) for gap in preview.missing] == [(date(2001, 8, 1), 30)]
    assert preview.seasons == 19


def test_a_typical_year_is_refused_with_the_reason(desk: Desk, tub: TubId) -> None:
    lines = minima_csv(2).splitlines()
    year = lines[1 : 1 + 184] + [line.replace("1997", "1983", 1) for line in lines[185:366]]
    text = "\n".join([lines[0], *year])
    assert "no spread between years" in preview_minima(desk, tub, text).refusal
    with pytest.raises(InputError, match="typical year"):
        import_minima(desk, tub, text, source="typical.csv")
    assert rows(desk) == (0, 0)


def test_two_winters_are_too_few_and_nothing_is_written(desk: Desk, tub: TubId) -> None:
    assert "too few" in preview_minima(desk, tub, minima_csv(2)).refusal
    with pytest.raises(InputError, match="too few"):
        import_minima(desk, tub, minima_csv(2), source="short.csv")
    assert rows(desk) == (0, 0)


def test_few_winters_give_a_range_and_plan_by_its_early_end(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(8), source="short.csv")
    watch = frost(desk, tub).watch_from
    assert watch is not None
    assert watch.rests_on is not None
    assert watch.rests_on.day is None
    assert watch.earliest is not None
    assert watch.on is not None
    assert watch.on <= date(2026, 10, 1)


@pytest.mark.parametrize("years", [4, 8, 14, 20, 30])
def test_each_date_lies_within_its_own_range(desk: Desk, tub: TubId, years: int) -> None:
    import_minima(desk, tub, minima_csv(years), source="station.csv")
    choose_frost(desk, tub, FrostChoices(watch_risk_percent=7, dry_risk_percent=13))
    found = frost(desk, tub)
    for planned in (found.watch_from, found.dry_by, found.watch_until):
        assert planned is not None
        assert planned.on is not None
        assert planned.earliest is not None
        assert planned.latest is not None
        assert planned.earliest <= planned.on <= planned.latest


def test_southern_winters_are_known_by_their_cold_without_a_latitude(
    desk: Desk, tub: TubId
) -> None:
    north = minima_csv().splitlines()
    days = [line.split(",") for line in north[1:]]
    half_a_year_on = [
        f"{(date.fromisoformat(day) + timedelta(days=182)).isoformat()},{value}"
        for day, value in days
    ]
    import_minima(desk, tub, "\n".join([north[0], *half_a_year_on]), source="south.csv")
    found = frost(desk, tub)
    assert found.watch_from is not None
    assert found.watch_from.on is not None
    assert found.watch_from.on.month == 4
    assert found.watch_until is not None
    assert found.watch_until.on == date(2026, 9, 30)


def test_a_colder_place_and_more_lead_bring_the_dates_forward(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    choose_frost(desk, tub, FrostChoices(offset_c=-3.5, lead_days=10))
    dry = frost(desk, tub).dry_by
    assert dry is not None
    # 3.5 K colder the first -1 °C nights are below -4 °C already: 2 October less 10 days.
    assert dry.on == date(2026, 9, 22)


def test_a_choice_out_of_range_changes_nothing(desk: Desk, tub: TubId) -> None:
    with pytest.raises(OutOfRangeError, match="dry_level_c"):
        choose_frost(desk, tub, FrostChoices(dry_level_c=4.0))
    assert rows(desk) == (0, 0)


def test_kept_dates_are_those_that_the_minima_give(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    choose_frost(desk, tub, FrostChoices(watch_risk_percent=7, dry_risk_percent=3, offset_c=-1))
    table = table_of(FrostPlanRow)
    with desk.read() as connection:
        row = connection.execute(select(table)).one()
        facts = read_plan(connection, desk.now()).tubs[tub].facts.frost
    lines = minima_csv().splitlines()[1:]
    by_day = tuple((date.fromisoformat(x[:10]), float(x[11:])) for x in lines)
    rebuilt = dates_by_risk(
        DailyMinima(by_day=by_day), FrostChoices(**row.choices), start=SeasonStart.NORTH
    )
    kept = [(each["risk_percent"], each["watch_from"], each["dry_by"]) for each in row.dates]
    assert kept == [
        (each.risk_percent, list(each.watch_from or ()), list(each.dry_by or ()))
        for each in rebuilt
    ]
    assert [each.risk_percent for each in facts[:2]] == [7, 3]


def test_the_closing_comes_into_the_week_before_the_day_to_be_dry(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_task(desk, tub, title="Close the tub for the winter", triggers=BEFORE_DRY, no_grace=True)
    import_minima(desk, tub, minima_csv(), source="station.csv")
    clock.set(date(2026, 10, 10))
    week = this_week(desk)
    assert [item.occurrence.due_on for item in week.later] == [date(2026, 10, 20)]
    clock.set(date(2026, 10, 21))
    (late,) = this_week(desk).late
    assert late.title == "Close the tub for the winter"


def test_frost_watch_begins_on_its_own_date(desk: Desk, tub: TubId, clock: StillClock) -> None:
    add_task(desk, tub, title="Watch for frost", triggers=WATCH)
    import_minima(desk, tub, minima_csv(), source="station.csv")
    clock.set(date(2026, 10, 2))
    (due,) = this_week(desk).due_today
    assert due.title == "Watch for frost"


def test_undo_takes_the_file_and_its_dates_back_together(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    assert rows(desk) == (1, 1)
    undo(desk)
    assert rows(desk) == (0, 0)
    assert frost(desk, tub).source is FrostSource.NONE


def test_a_second_file_takes_the_place_of_the_first(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    later = minima_csv(shift_days=10)
    assert preview_minima(desk, tub, later).replaces == "station.csv"
    import_minima(desk, tub, later, source="other.csv")
    found = frost(desk, tub)
    assert rows(desk) == (1, 1)
    assert found.watch_from is not None
    assert found.watch_from.on == date(2026, 10, 12)


def test_typed_dates_reach_the_week_without_any_weather(desk: Desk, tub: TubId) -> None:
    add_task(desk, tub, title="Watch for frost", triggers=WATCH)
    type_frost_dates(
        desk,
        tub,
        watch_from=MonthDay(month=9, day=20),
        dry_by=MonthDay(month=10, day=15),
    )
    assert frost(desk, tub).source is FrostSource.TYPED
    assert frost(desk, tub).watching
    assert [item.title for item in this_week(desk).due_today] == ["Watch for frost"]


def test_typed_dates_in_the_wrong_order_are_refused(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="lies before"):
        type_frost_dates(
            desk,
            tub,
            watch_from=MonthDay(month=1, day=20),
            dry_by=MonthDay(month=10, day=15),
        )


def test_frost_rarer_than_the_risk_has_no_date(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    choose_frost(desk, tub, replace(FrostChoices(), dry_level_c=-20.0))
    found = frost(desk, tub)
    assert found.dry_by is not None
    assert found.dry_by.on is None
    assert found.watch_from is not None
    assert found.watch_from.on == date(2026, 10, 2)


def test_watching_needs_water_and_the_date(desk: Desk, tub: TubId, clock: StillClock) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    assert not frost(desk, tub).watching
    clock.set(date(2026, 10, 2))
    assert frost(desk, tub).watching
    dry = add_tub(desk, name="South", opened=None)
    import_minima(desk, dry, minima_csv(), source="station.csv")
    assert not frost(desk, dry).watching


def test_chances_rise_from_none_to_all(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    shares = [point.frost for point in frost(desk, tub).chances]
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    assert shares == sorted(shares)


def test_the_dates_to_plan_by_stand_among_the_points_of_the_chart(desk: Desk, tub: TubId) -> None:
    import_minima(desk, tub, minima_csv(), source="station.csv")
    found = frost(desk, tub)
    days = [point.on for point in found.chances]
    assert days == sorted(set(days))
    assert found.watch_from is not None
    assert found.dry_by is not None
    assert {found.watch_from.on, found.dry_by.on} <= set(days)


def test_without_power_the_hose_freezes_first_within_the_hour(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {"water_c": 4.0})
    night = if_power_fails_tonight(desk, tub, air_c=-5.0)
    hose, pump, water = (
        part.to_zero_h or 0.0 for part in (night.cut.hose, night.cut.pump, night.cut.tub)
    )
    # ASHRAE Handbook Fundamentals, ch. 23, eq. 1 with the film: 19 mm hose, from 4 °C, -5 °C.
    assert hose == pytest.approx(0.32, abs=0.01)
    assert pump == pytest.approx(1.7, abs=0.05)
    assert hose < 1.0 < pump < water


def test_without_a_reading_the_set_point_stands_in_and_is_named(desk: Desk, tub: TubId) -> None:
    night = if_power_fails_tonight(desk, tub)
    assert night.measured_at is None
    assert night.water_c == 6.0


def test_the_hours_of_a_closed_tub_are_told_as_those_of_a_filled_one(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    assert not if_power_fails_tonight(desk, tub).drained
    clock.set(date(2026, 10, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 19))
    assert if_power_fails_tonight(desk, tub).drained


def test_above_freezing_nothing_gets_there(desk: Desk, tub: TubId) -> None:
    night = if_power_fails_tonight(desk, tub, air_c=1.0)
    assert [part.to_zero_h for part in (night.cut.hose, night.cut.pump, night.cut.tub)] == [
        None
    ] * 3


def test_figures_come_back_as_they_were_kept() -> None:
    kept = figures_as_text([1.25, float("nan"), -0.5, 0.0])
    assert kept == "125,,-50,0"
    back = figures_from_text(kept)
    assert back[0] == 1.25
    assert back[1] != back[1]


def notes(desk: Desk) -> list[tuple[Edge, date, bool]]:
    return [(note.edge, note.on, note.passed) for note in this_week(desk).frost]


def test_the_week_names_the_watch_and_then_the_day_to_be_dry(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    type_frost_dates(
        desk, tub, watch_from=MonthDay(month=9, day=25), dry_by=MonthDay(month=11, day=5)
    )
    assert notes(desk) == []
    clock.set(date(2026, 9, 25))
    assert notes(desk) == [(Edge.FROST_WATCH, date(2026, 9, 25), True)]
    clock.set(date(2026, 10, 8))
    assert notes(desk) == [(Edge.FROST_DRY, date(2026, 11, 5), False)]
    clock.set(date(2026, 11, 6))
    assert notes(desk) == [(Edge.FROST_DRY, date(2026, 11, 5), True)]


@pytest.mark.parametrize(
    ("states", "warned"),
    [
        ((TubState.PAUSED,), True),
        ((TubState.OUT_OF_ORDER,), True),
        ((TubState.CLOSED, TubState.OUT_OF_ORDER), False),
    ],
)
def test_a_tub_that_stands_full_is_warned_of_frost_whatever_runs(
    desk: Desk, tub: TubId, clock: StillClock, states: tuple[TubState, ...], *, warned: bool
) -> None:
    type_frost_dates(
        desk, tub, watch_from=MonthDay(month=9, day=25), dry_by=MonthDay(month=10, day=25)
    )
    clock.set(date(2026, 10, 20))
    for day, state in enumerate(states, 17):
        enter_state(desk, tub, state, date(2026, 10, day))
    assert bool(notes(desk)) is warned
    assert frost(desk, tub).watching is warned


def test_an_empty_tub_has_no_frost_note(desk: Desk, tub: TubId, clock: StillClock) -> None:
    type_frost_dates(
        desk, tub, watch_from=MonthDay(month=9, day=25), dry_by=MonthDay(month=11, day=5)
    )
    clock.set(date(2026, 10, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 19))
    assert notes(desk) == []


def test_the_calendar_marks_both_dates_while_the_tub_holds_water(desk: Desk, tub: TubId) -> None:
    type_frost_dates(
        desk, tub, watch_from=MonthDay(month=9, day=25), dry_by=MonthDay(month=10, day=20)
    )
    found = calendar(desk, date(2026, 9, 1), date(2026, 10, 31))
    marks = [(t.on, t.frost) for day in found.days for t in day.turns if t.frost is not None]
    assert marks == [
        (date(2026, 9, 25), Edge.FROST_WATCH),
        (date(2026, 10, 20), Edge.FROST_DRY),
    ]
