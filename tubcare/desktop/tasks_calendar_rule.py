"""The fields of a calendar rule: plain choices, or the rule as RFC 5545 writes it."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.care.rrule_choice import LAST_DAY, NTHS, CalendarChoice, choice_of, rule_of
from tubcare.care.terms import Period
from tubcare.desktop.entry import TextEntry
from tubcare.desktop.tasks_choice import Pick
from tubcare.desktop.tasks_rule_fields import RuleFields, whole
from tubcare.errors import InputError
from tubcare.words.dates import first_weekday, month_name
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from tubcare.desktop.screen import Context

MONTHS = tuple(range(1, 13))
MONTH_DAYS = (*range(1, 32), LAST_DAY)


class CalendarFields(RuleFields):
    """On set dates: every so many days, weeks, months or years, and on which days of these."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__(context)
        say, speech = context.say, context.speech
        self.every = self.number("INTERVAL", say("How many"))
        self.period: Pick[Period | None] = Pick(
            say("Days, weeks, months or years"),
            [
                *((period, word(speech, period)) for period in Period),
                (None, say("a rule written out (RFC 5545)")),
            ],
        )
        first = first_weekday(speech)
        self.days = tuple((first + at) % 7 for at in range(7))
        self.weekdays = [QCheckBox(self._day(day, "abbreviated")) for day in self.days]
        for day, box in zip(self.days, self.weekdays, strict=True):
            box.setAccessibleName(self._day(day, "wide"))
        self.by_day = Pick(
            say("Day of the month or weekday"),
            [(False, say("on day")), (True, say("on a weekday"))],
        )
        self.month_day = Pick(say("Day of the month"), self._month_days())
        self.nth = Pick(say("Which one in the month"), zip(NTHS, self._nths(), strict=True))
        self.weekday = Pick(say("Weekday"), [(day, self._day(day, "wide")) for day in self.days])
        self.month = Pick(say("Month"), [(m, month_name(speech, m)) for m in MONTHS])
        self.rule = TextEntry("RRULE", context.voice, required=True)
        self.rule.setAccessibleName(say("Rule as RFC 5545 writes it"))
        self.rule.setPlaceholderText("FREQ=MONTHLY;BYDAY=1SA")
        self.start = self.date("start", say("First day"), today)
        self._lay_out()
        self._connect()
        self._follow()

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        start = self.start.day()
        if start is None:
            raise InputError("start", self.context.say("write the first day"))
        return {"kind": "calendar", "rule": self._rule(), "start": start.isoformat()}

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show a rule: as choices where these say all of it, else written out."""
        rule, start = str(data["rule"]), date.fromisoformat(str(data["start"]))
        self.start.fill(start)
        self.rule.setText(rule)
        choice = choice_of(rule, start)
        if choice is None:
            self.period.choose(None)
            return
        self.period.choose(choice.period)
        self.every.setText(str(choice.every))
        for day, box in zip(self.days, self.weekdays, strict=True):
            box.setChecked(day in choice.weekdays)
        self.by_day.choose(bool(choice.nth))
        self.month_day.choose(choice.month_day)
        self.month.choose(choice.month)
        if choice.nth:
            self.nth.choose(choice.nth)
            self.weekday.choose(choice.weekdays[0])

    def _rule(self) -> str:
        period = self.period.chosen()
        if period is None:
            return self.rule.read()
        numbered = self.by_day.chosen() and period in {Period.MONTH, Period.YEAR}
        weekdays = tuple(d for d, b in zip(self.days, self.weekdays, strict=True) if b.isChecked())
        return rule_of(
            CalendarChoice(
                period=period,
                every=whole(self.every),
                weekdays=(self.weekday.chosen(),) if numbered else weekdays,
                nth=self.nth.chosen() if numbered else 0,
                month_day=self.month_day.chosen(),
                month=self.month.chosen(),
            )
        )

    def _connect(self) -> None:
        for box in (self.period, self.by_day):
            box.currentIndexChanged.connect(self._follow)
        for pick in (self.month_day, self.nth, self.weekday, self.month):
            pick.currentIndexChanged.connect(self.tell)
        for check in self.weekdays:
            check.toggled.connect(self.tell)
        self.rule.textChanged.connect(self.tell)

    def _lay_out(self) -> None:
        say = self.context.say
        self.row.addLayout(lines := QVBoxLayout(), 1)
        self._every_words = QLabel(say("every"))
        self._from_words = QLabel(say("from"))
        self._first = _line(self._every_words, self.every, self.period)
        self._week = _line(*self.weekdays)
        self._days = _line(self.month, self.by_day, self.month_day, self.nth, self.weekday)
        self._written = _line(self.rule, stretch=False)
        for line in (self._first, self._week, self._days, self._written):
            lines.addWidget(line)
        lines.addWidget(_line(self._from_words, self.start))
        self.stops = [self.every, self.period, *self.weekdays, self.month, self.by_day]
        self.stops += [self.month_day, self.nth, self.weekday, self.rule, self.start]

    @Slot()
    def _follow(self) -> None:
        period = self.period.chosen()
        dated = period in {Period.MONTH, Period.YEAR}
        numbered = self.by_day.chosen()
        if period is None and self.rule.is_blank:
            self.rule.setText("FREQ=MONTHLY;BYDAY=1SA")
        self.every.setVisible(period is not None)
        self._every_words.setVisible(period is not None)
        self._week.setVisible(period is Period.WEEK)
        self._days.setVisible(dated)
        self._written.setVisible(period is None)
        self.month.setVisible(period is Period.YEAR)
        self.month_day.setVisible(not numbered)
        self.nth.setVisible(numbered)
        self.weekday.setVisible(numbered)
        self.tell()

    def _day(self, day: int, width: str) -> str:
        return str(self.context.speech.words.days["stand-alone"][width][day])

    def _month_days(self) -> Iterable[tuple[int, str]]:
        last = self.context.say("the last")
        return [(day, last if day == LAST_DAY else str(day)) for day in MONTH_DAYS]

    def _nths(self) -> tuple[str, ...]:
        say = partial(self.context.speech.say_in, "which weekday of the month")
        return (
            say("the first"),
            say("the second"),
            say("the third"),
            say("the fourth"),
            say("the fifth"),
            say("the last"),
        )


def _line(*parts: QWidget, stretch: bool = True) -> QWidget:
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        row.addWidget(part)
    if stretch:
        row.addStretch()
    return line
