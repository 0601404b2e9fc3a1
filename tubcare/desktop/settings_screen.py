"""The settings: when reminders may come, the home time zone, language and units."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import time
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QLabel
from typing_extensions import override

from tubcare.desktop.entry import TextEntry, TimeEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_speech import AS_SYSTEM, LOCALE, PERSON, UNITS
from tubcare.desktop.screen import Screen
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.theme import worded
from tubcare.services.household import (
    Person,
    Weekends,
    change_home_zone,
    change_person,
    checked_zone,
    home_zone,
    people,
)
from tubcare.services.topics import Topic
from tubcare.words.locale import Units, babel_locale, languages
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics

_TERRITORIES = {"en": ("GB", "US", "IE", "CA"), "de": ("DE", "AT", "CH"), "fi": ("FI",)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What is kept in the logbook for the person at this window."""

    person: Person | None
    home_zone: str
    names: tuple[str, ...] = ()
    """Everybody in the logbook."""


class SettingsScreen(Screen):
    """Shows the settings; nothing is kept before “Save”."""

    topics: ClassVar[Topics] = frozenset({Topic.PEOPLE, Topic.SETTINGS})

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Settings"))
        self._settings = Settings(person=None, home_zone="UTC")
        self.reminders = RemindersForm(context)
        self.logbook = LogbookForm(context)
        self.computer = ComputerForm(context)
        self._forms = (self.reminders, self.logbook, self.computer)
        say = context.say
        self.body.addWidget(
            scrolling(
                worded(QLabel(say("Reminders for {person}", person=context.desk.actor)), "group"),
                self.reminders,
                worded(QLabel(say("This logbook")), "group"),
                self.logbook,
                worded(QLabel(say("This computer, from the next start on")), "group"),
                self.computer,
            )
        )
        self.add_action(say("&Save"), self.save, keys="Ctrl+S", main=True)
        for form in self._forms:
            form.submitted.connect(self._submit)

    @override
    def refresh(self) -> None:
        """Read the settings anew."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the settings"),
            replaces="settings",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the first field."""
        self.reminders.digest.setFocus()

    @Slot()
    def save(self) -> None:
        """Keep what was typed, or go to what cannot be used."""
        if not all(form.check() for form in self._forms):
            return
        self.computer.keep()
        person = self._settings.person
        wanted = Settings(
            person=None if person is None else self.reminders.filled_in(person),
            home_zone=self.logbook.zone.read(),
        )
        self.context.work.on_logbook(
            partial(_keep, self.context.desk, self._settings, wanted),
            done=self._saved,
            title=self.context.say("Saving the settings"),
        )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.save()

    def _show(self, settings: Settings) -> None:
        self._settings = settings
        self.logbook.zone.setText(settings.home_zone)
        self.computer.show_people(settings.names)
        if settings.person is not None:
            self.reminders.show_person(settings.person)

    def _saved(self, changed: int) -> None:
        undo = self.context.undo if changed else None
        self.context.strip.say(self.context.say("The settings are kept."), undo=undo)


class RemindersForm(Form):
    """When a person may be reminded."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        say = context.say
        self.digest = TimeEntry("digest", context.voice, required=True)
        self.quiet_from = TimeEntry("quiet_from", context.voice, required=True)
        self.quiet_to = TimeEntry("quiet_to", context.voice, required=True)
        self.weekends = QComboBox()
        for choice, text in (
            (Weekends.AS_USUAL, say("as on other days")),
            (Weekends.LATER, say("later in the morning")),
            (Weekends.SILENT, say("none until Monday")),
        ):
            self.weekends.addItem(text, choice.value)
        self.add_row(
            "digest",
            say("&Morning summary at"),
            self.digest,
            read=self.digest.time_of_day,
            hint=say("One message for all that is due"),
        )
        self.add_row(
            "quiet_from", say("&Quiet from"), self.quiet_from, read=self.quiet_from.time_of_day
        )
        self.add_row(
            "quiet_to",
            say("Quiet &until"),
            self.quiet_to,
            read=self.quiet_to.time_of_day,
            hint=say("Only frost and protective devices are told in quiet hours"),
        )
        self.add_row("weekends", say("On &weekends"), self.weekends)

    def show_person(self, person: Person) -> None:
        """Show a person's hours."""
        self.digest.fill(_time(person.digest_minute))
        self.quiet_from.fill(_time(person.quiet_from_minute))
        self.quiet_to.fill(_time(person.quiet_to_minute))
        self.weekends.setCurrentIndex(self.weekends.findData(person.weekends.value))

    def filled_in(self, person: Person) -> Person:
        """Return the person with the hours that were typed; raises `InputError`."""
        return replace(
            person,
            digest_minute=_minute(self.digest.time_of_day()),
            quiet_from_minute=_minute(self.quiet_from.time_of_day()),
            quiet_to_minute=_minute(self.quiet_to.time_of_day()),
            weekends=Weekends(self.weekends.currentData()),
        )


class LogbookForm(Form):
    """What holds for everybody who uses the logbook."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self.zone = TextEntry("zone", context.voice, required=True)
        self.add_row(
            "zone",
            context.say("Home time &zone"),
            self.zone,
            read=self._read_zone,
            hint=context.say("Headings and mornings go by it; each tub has its own as well"),
        )

    def _read_zone(self) -> str:
        return checked_zone(self.zone.read())


class ComputerForm(Form):
    """What this computer keeps for itself."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._keeping = context.keeping
        say = context.say
        self.formats = QComboBox()
        self.formats.addItem(say("as the system"), AS_SYSTEM)
        for language in languages():
            for territory in _TERRITORIES.get(language, ()):
                tag = f"{language}_{territory}"
                self.formats.addItem(str(babel_locale(tag).get_display_name(tag)), tag)
        self.person = QComboBox()
        self.person.addItem(say("who is signed in"), AS_SYSTEM)
        self.units = QComboBox()
        self.units.addItem(say("as usual there"), AS_SYSTEM)
        for units in Units:
            self.units.addItem(word(context.speech, units), units.value)
        for box, key in ((self.formats, LOCALE), (self.units, UNITS)):
            box.setCurrentIndex(max(0, box.findData(self._keeping.text(key))))
        self.add_row(
            "person",
            say("&Person at this computer"),
            self.person,
            hint=say("Reminders come for them, and work is written down as theirs"),
        )
        self.add_row("locale", say("&Language and formats"), self.formats)
        self.add_row("units", say("U&nits"), self.units)

    def show_people(self, names: tuple[str, ...]) -> None:
        """Offer everybody in the logbook; the choice made before stays."""
        chosen = self.person.currentData() or self._keeping.text(PERSON)
        for name in names:
            if self.person.findData(name) < 0:
                self.person.addItem(name, name)
        self.person.setCurrentIndex(max(0, self.person.findData(chosen)))

    def keep(self) -> None:
        """Keep the choices for the next start."""
        self._keeping.keep(PERSON, self.person.currentData())
        self._keeping.keep(LOCALE, self.formats.currentData())
        self._keeping.keep(UNITS, self.units.currentData())
        self._keeping.write()


def _read(desk: Desk) -> Settings:
    known = people(desk)
    mine = next((person for person in known if person.name == desk.actor), None)
    names = tuple(person.name for person in known if person.active)
    return Settings(person=mine, home_zone=home_zone(desk), names=names)


def _keep(desk: Desk, before: Settings, wanted: Settings) -> int:
    changed = 0
    if wanted.person is not None and wanted.person != before.person:
        change_person(desk, wanted.person)
        changed += 1
    if wanted.home_zone != before.home_zone:
        change_home_zone(desk, wanted.home_zone)
        changed += 1
    return changed


def _time(minute: int) -> time:
    hours, rest = divmod(minute, 60)
    return time(hours, rest)


def _minute(moment: time) -> int:
    return moment.hour * 60 + moment.minute
