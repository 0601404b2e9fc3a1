"""Whose habits and language a person is told things in."""

from __future__ import annotations

from datetime import date

import pytest

from tubcare.care.reasons import ElapsedReason
from tubcare.care.terms import Period
from tubcare.care.triggers import Interval
from tubcare.errors import InputError
from tubcare.words.dates import medium_date, relative_day, short_date, weekday_date
from tubcare.words.locale import Speech, Units, known_tag, speech_for
from tubcare.words.sentences.recurrence import recurrence
from tubcare.words.sentences.why import reason

DAY = date(2026, 5, 12)


# POSIX.1-2017, section 8.2: LC_ALL outranks the category's own variable, which outranks LANG.
@pytest.mark.parametrize(
    ("environment", "language", "formats"),
    [
        ({}, "en", "en_001"),
        ({"LANG": "C.UTF-8"}, "en", "en_001"),
        ({"LANG": "de_DE.UTF-8"}, "de", "de_DE"),
        ({"LANG": "de_DE.UTF-8", "LC_TIME": "en_GB.UTF-8"}, "de", "en_GB"),
        ({"LANG": "de_DE.UTF-8", "LC_ALL": "fi_FI"}, "fi", "fi_FI"),
        ({"LANG": "en_US.UTF-8", "LANGUAGE": "de:en"}, "de", "en_US"),
        ({"LANG": "de_DE@euro"}, "de", "de_DE"),
        ({"LANG": "fr_FR.UTF-8"}, "en", "fr_FR"),
        ({"LANG": "xx_XX"}, "en", "en_001"),
        ({"LANG": "../../etc"}, "en", "en_001"),
    ],
)
def test_language_and_formats_come_from_the_environment(
    environment: dict[str, str], language: str, formats: str
) -> None:
    speech = speech_for(environment)
    assert (speech.language, speech.formats_tag) == (language, formats)


def test_a_chosen_locale_outranks_the_environment() -> None:
    speech = speech_for({"LC_ALL": "de_DE"}, chosen="fi-FI")
    assert (speech.language, speech.formats_tag) == ("fi", "fi_FI")


def test_units_come_with_the_territory_and_can_be_chosen() -> None:
    assert speech_for({}, chosen="en_US").units is Units.US
    assert speech_for({}, chosen="en_GB").units is Units.METRIC
    assert speech_for({}, chosen="en_US", units=Units.METRIC).units is Units.METRIC


def test_a_date_that_ends_with_a_stop_ends_a_sentence_with_one() -> None:
    german = speech_for({}, chosen="de_DE")
    assert german.say("until {day}. Then {what}.", day="26. Nov.", what="…") == (
        "until 26. Nov. Then …."
    )
    assert german.say("{what}...", what="Nov.") == "Nov...."


def test_a_sentence_never_mixes_two_languages() -> None:
    french = speech_for({}, chosen="fr_FR")
    assert medium_date(french, DAY) == "12 May 2026"
    assert short_date(french, DAY) == "12/05/2026"


def test_an_unknown_currency_is_refused() -> None:
    with pytest.raises(InputError):
        speech_for({}, currency_code="XYZ")


@pytest.mark.parametrize("name", ["", "C", "POSIX", "klingon", "de_de_de_de", "\x00"])
def test_names_that_nobody_knows_give_international_english(name: str) -> None:
    assert known_tag(name) in {"en_001", "de"}


def test_german_sentences_read_as_german(german: Speech) -> None:
    every = Interval(count=30, period=Period.DAY)
    told = reason(german, ElapsedReason(every=every, since=DAY), date(2026, 6, 12))
    assert told == "31 Tage seit 12. Mai; alle 30 Tage"
    assert recurrence(german, "FREQ=MONTHLY;BYDAY=1SA", DAY) == "am ersten Samstag jedes Monats"
    assert recurrence(german, "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH", DAY) == (
        "alle 2 Wochen am Montag und Donnerstag"
    )
    assert recurrence(german, "FREQ=WEEKLY;BYDAY=FR;BYMONTH=9,10,11,12,1", DAY) == (
        "jede Woche am Freitag von September bis Januar"
    )
    assert relative_day(german, date(2026, 5, 14), DAY) == "in 2 Tagen"
    assert weekday_date(german, DAY) == "Di., 12. Mai"


def test_finnish_sentences_read_as_finnish(finnish: Speech) -> None:
    every = Interval(count=30, period=Period.DAY)
    told = reason(finnish, ElapsedReason(every=every, since=DAY), date(2026, 6, 12))
    assert told == "12.5. lähtien 31 päivää; 30 päivän välein"
    assert recurrence(finnish, "FREQ=MONTHLY;BYMONTHDAY=-1", DAY) == (
        "joka kuukauden viimeisenä päivänä"
    )
    assert recurrence(finnish, "FREQ=WEEKLY", DAY) == "joka viikko tiistaina"
    assert recurrence(finnish, "FREQ=WEEKLY;BYMONTH=9,10,11,12,1", DAY) == (
        "joka viikko tiistaina syyskuusta tammikuuhun"
    )
    assert relative_day(finnish, date(2026, 5, 13), DAY) == "huomenna"


def test_a_text_of_the_programs_own_is_told_in_the_persons_language() -> None:
    german = speech_for({}, chosen="de_DE")
    assert german.own("Wear gloves and eye protection.") == "Trag Handschuhe und Augenschutz."
    assert speech_for({}, chosen="en_GB").own("Test the water") == "Test the water"


@pytest.mark.parametrize("typed", ["", "Oma's Salz {1 kg}", "100 %", "  Test the water"])
def test_what_a_person_typed_stays_as_it_is(typed: str) -> None:
    assert speech_for({}, chosen="fi_FI").own(typed) == typed
