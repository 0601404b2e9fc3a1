"""What errors, actions and reminders say."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from tubcare import errors
from tubcare.care.terms import Status
from tubcare.words.escape import as_markup, one_line, visible
from tubcare.words.locale import Speech, speech_for
from tubcare.words.sentences.actions import action, undone_text
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.reasons import dates_told
from tubcare.words.sentences.reminders import (
    Reminded,
    digest,
    nudge,
    tick_off_button,
    tomorrow_button,
)

TODAY = date(2026, 6, 12)
WHEN = datetime(2026, 6, 12, 6, 5, tzinfo=UTC)
ERRORS: tuple[tuple[errors.TubcareError, str], ...] = (
    (errors.TubcareError("x"), "This was not possible."),
    (
        errors.OutOfRangeError("water_c", 55, -2, 45),
        "Water temperature: 55\N{NO-BREAK SPACE}°C lies outside -2 to 45\N{NO-BREAK SPACE}°C.",
    ),
    (errors.InputError("amount", "write a number"), "Amount: write a number."),
    (errors.RuleError("it is closed"), "This is not possible: it is closed."),
    (errors.NotFoundError("task", "Skim"), "Task Skim is not in this logbook."),
    (errors.NotFoundError("tub", ""), "There is no tub in this logbook yet."),
    (
        errors.AlreadyDoneError("Skim", "Aino", WHEN),
        "“Skim” was already closed by Aino on 12 Jun at 06:05.",
    ),
    (
        errors.StepDoneError(1, "Aino", WHEN),
        "Step 1 was ticked already, by Aino on 12 Jun at 06:05.",
    ),
    (
        errors.DependentFactError("the purchase", "a use"),
        "The purchase cannot be taken back, because a use depends on it.",
    ),
    (
        errors.NothingLeftError("take back"),
        "This is not possible: there is nothing to take back.",
    ),
    (errors.StoreError("a.db", "odd"), "a.db could not be used: odd"),
    (errors.StoreTooNewError("a.db", "new"), "a.db was written by a newer version of tubcare."),
    (errors.StoreBusyError("a.db", "busy"), "Another program holds a.db."),
    (errors.StoreDamagedError("a.db", "cut."), "a.db is not a sound logbook: cut."),
    (errors.StoreFullError("a.db", "full"), "There is no room left where a.db lies."),
    (errors.StoreReadOnlyError("a.db", "ro"), "a.db may not be written."),
    (errors.StorePlaceError("a.db", "far."), "a.db cannot hold a logbook: far."),
    (errors.StoreUnreachableError("host/x", "refused"), "host/x cannot be reached: refused."),
)


@pytest.mark.parametrize(("error", "happened"), ERRORS)
def test_each_error_says_what_happened_and_what_was_kept(
    english: Speech, error: errors.TubcareError, happened: str
) -> None:
    told = trouble(english, error)
    assert told.happened == happened
    assert told.kept
    assert told.lines[0] == happened


def every_kind(base: type[errors.TubcareError]) -> set[type[errors.TubcareError]]:
    return {base}.union(*(every_kind(kind) for kind in base.__subclasses__()))


def test_no_error_is_forgotten() -> None:
    kinds = {
        kind for kind in every_kind(errors.TubcareError) if kind.__module__ == errors.__name__
    }
    assert kinds == {type(error) for error, _ in ERRORS}


def test_where_nobody_is_known_nobody_is_named(english: Speech) -> None:
    told = trouble(english, errors.AlreadyDoneError("Skim", None, WHEN)).happened
    assert told == "“Skim” was already closed on 12 Jun at 06:05."
    told = trouble(english, errors.StepDoneError(2, None, WHEN)).happened
    assert told == "Step 2 was ticked already, on 12 Jun at 06:05."


@pytest.mark.parametrize(
    ("reason", "told"),
    [
        ("“Swap” is not due before 2026-11-29; ask", "“Swap” is not due before 29 Nov 2026; ask"),
        ("2026-04-21 lies before 2026-05-01", "21 Apr 2026 lies before 1 May 2026"),
        # What is quoted, an example of how to type a date, and what is no date stay.
        ("'2026-13-01' is not a date such as 2026-05-01", None),
        ("“2026-05-01 swim” is open", None),
        ("2026-13-01 is not there", None),
    ],
)
def test_dates_in_reasons_are_told_as_a_person_writes_them(
    english: Speech, reason: str, told: str | None
) -> None:
    assert dates_told(english, reason) == (told or reason)


def test_what_stands_on_a_fact_is_named_with_its_date(english: Speech) -> None:
    error = errors.DependentFactError("this change", "completion “Skim” of 2026-05-01")
    assert trouble(english, error).advice == "Take back completion “Skim” of 1 May 2026 first."


def test_the_time_is_told_in_the_zone_of_the_reader(english: Speech) -> None:
    error = errors.AlreadyDoneError("Skim", "Aino", WHEN)
    assert "09:05" in trouble(english, error, ZoneInfo("Europe/Helsinki")).happened


def test_ranges_are_told_in_the_units_of_the_reader() -> None:
    american = speech_for({}, chosen="en_US")
    told = trouble(american, errors.OutOfRangeError("water_c", 55, -2, 45)).happened
    assert "131\N{NO-BREAK SPACE}°F" in told
    assert "28.4 to 113\N{NO-BREAK SPACE}°F" in told


def test_undo_names_what_it_takes_back(english: Speech) -> None:
    assert action(english, "tick_off", "Skim") == "tick off “Skim”"
    assert undone_text(english, "start_logbook", "") == "Taken back: set up the logbook"


def test_an_action_that_is_not_known_still_has_a_name(english: Speech) -> None:
    assert action(english, "polish_lid", "Barrel") == "change Barrel"
    assert action(english, "polish_lid", "") == "change polish lid"


def test_a_subject_with_braces_or_line_breaks_is_shown_as_it_is(english: Speech) -> None:
    assert action(english, "skip", "{0}\n{x!r}") == "skip “{0} {x!r}”"


def reminded(title: str, due: date = TODAY, status: Status = Status.DUE) -> Reminded:
    return Reminded(title=title, due_on=due, status=status)


def test_a_nudge_names_task_tub_day_length_and_cost(english: Speech) -> None:
    task = Reminded(
        title="Change the filter",
        due_on=TODAY,
        status=Status.DUE,
        tub="Barrel",
        minutes=12,
        expected_minor=1234,
    )
    told = nudge(english, task, TODAY)
    assert told.title == "Change the filter (Barrel)"
    assert told.body == "Due today. Takes 12\N{NO-BREAK SPACE}min. Costs about €12."


@pytest.mark.parametrize(
    ("status", "due", "body"),
    [
        (Status.COMING, date(2026, 6, 14), "Due in 2 days."),
        (Status.LATE, date(2026, 6, 11), "Late: it was due 1 day ago."),
        (Status.OVERDUE, date(2026, 6, 2), "Overdue: it was due 10 days ago."),
    ],
)
def test_a_nudge_says_how_late_it_is(
    english: Speech, status: Status, due: date, body: str
) -> None:
    assert nudge(english, reminded("Skim", due, status), TODAY).body == body


def test_a_digest_counts_and_names_the_first(english: Speech) -> None:
    tasks = [
        reminded("Skim", date(2026, 6, 1), Status.LATE),
        reminded("Test the water"),
        reminded("Read the meter"),
        reminded("Wash the lid", date(2026, 6, 14), Status.COMING),
        reminded("Oil the wood", date(2026, 6, 14), Status.COMING),
    ]
    told = digest(english, tasks, TODAY)
    assert told.title == "5 tasks for the tub: 1 late, 2 due today and 2 coming up"
    assert told.body == "Skim, Test the water, Read the meter and 2 more"


def test_a_digest_of_one_is_in_the_singular(english: Speech) -> None:
    assert digest(english, [reminded("Skim")], TODAY).title == "1 task for the tub: 1 due today"


def test_buttons_are_short(english: Speech) -> None:
    assert (tick_off_button(english), tomorrow_button(english)) == ("Tick off", "Tomorrow")


def test_markup_that_people_wrote_is_shown_letter_by_letter() -> None:
    assert as_markup("<b>5 & 6</b>\n'x'") == "&lt;b&gt;5 &amp; 6&lt;/b&gt;<br>&#x27;x&#x27;"


def test_what_a_screen_cannot_show_is_left_out() -> None:
    assert visible("a\x00b\tc\r\nd\u202ee\ud800") == "ab c\nde"
    assert one_line("a\n b" + "c" * 100, 10) == "a bcccccc…"
