"""The calendar: a month or an agenda of what is due, done and foreseen, and how tubs stand."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from typing_extensions import override

from tubcare.desktop.calendar_acting import Acting
from tubcare.desktop.calendar_day import DayQuestion
from tubcare.desktop.calendar_export import CalendarExport
from tubcare.desktop.calendar_read import read_month
from tubcare.desktop.calendar_views import CalendarViews
from tubcare.desktop.calendar_words import line_spoken, season_sentence
from tubcare.desktop.screen import Screen
from tubcare.desktop.strip import announce
from tubcare.desktop.tub_needed import TubNeeded
from tubcare.desktop.upkeep_side import UpkeepSide
from tubcare.errors import InputError
from tubcare.services.fields import FIRST_DAY, LAST_DAY
from tubcare.services.fields import day as checked_day
from tubcare.services.topics import Topic
from tubcare.values import TubId

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tubcare.desktop.calendar_model import MonthShown
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Line
    from tubcare.services.topics import Topics

_TUB = "calendar/tub"


class CalendarScreen(Screen):
    """Shows a month or an agenda; ticks off, opens and moves what is chosen."""

    topics: ClassVar[Topics] = frozenset({Topic.UPKEEP, Topic.TASKS, Topic.TUBS, Topic.MEASURES})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Calendar"))
        self._on: date | None = None
        self._tub = _kept_tub(context)
        self._shown: MonthShown | None = None
        self.going, self.moving = DayQuestion(context), DayQuestion(context)
        self.export = CalendarExport(context, self)
        self.views = CalendarViews(context)
        self.side = UpkeepSide(context, "calendar", self.views)
        self.acting = Acting(context, self.moving, self._line, self.side)
        self.views.fill_bar(self._add_actions())
        for widget in (self.going, self.moving):
            self.body.addWidget(widget)
            widget.left.connect(self.take_focus)
        needed = say("Describe a tub first; then its plan stands here, day by day.")
        self._needed = TubNeeded(self, self.side, needed)
        self.body.addWidget(self._needed, 1)
        for view in (self.views.month, self.views.panel.table, self.views.agenda):
            view.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
            view.addActions(self.menu_actions)
        self.views.day_wanted.connect(self.go_to)
        self.views.month.months_wanted.connect(self._go_months)
        self.views.month.moved.connect(self.acting.move)
        self.views.tub_wanted.connect(self._show_tub)
        self.views.act_wanted.connect(self._act)
        self.going.answered.connect(self._answered)
        self.moving.answered.connect(self.take_focus)
        self.acting.moved.connect(self._follow)
        self.acting.details_opened.connect(self.views.panel.hide)
        self.acting.details_closed.connect(self.views.panel.show)
        self.acting.details_closed.connect(self.take_focus)

    def _add_actions(self) -> list[QAction]:
        say = self.context.say
        self.add_action(say("&Tick off"), self.acting.tick, icon="tick", main=True)
        details = say("Tick off with detail&s…")
        self.add_action(details, self.acting.record, keys="Ctrl+Return")
        self.add_action(say("S&kip once…"), self.acting.skip, icon="skip", keys="Ctrl+K")
        move_to = say("&Move to…")
        self.add_action(move_to, self._ask_move, icon="put-off", keys="Ctrl+Shift+M", button=True)
        self.add_action(say("Move a day &later"), self.acting.later, keys="Ctrl+Right")
        self.add_action(say("Move a day &earlier"), self.acting.earlier, keys="Ctrl+Left")
        self.add_action(say("&Open the task"), self.acting.open, keys="Ctrl+O")
        self.add_action(say("Line &below in the day"), self._next_line, keys="Ctrl+Down")
        self.add_action(say("Line above in the da&y"), self._line_before, keys="Ctrl+Up")
        back = self.add_action(
            say("&Previous month"), self._month_back, icon="back", keys="Ctrl+PgUp"
        )
        today = self.add_action(say("To&day"), self._go_today, keys="Ctrl+Home")
        on = self.add_action(
            say("&Next month"), self._month_on, icon="forward", keys="Ctrl+PgDown"
        )
        go = self.add_action(say("&Go to…"), self._ask_day, keys="Ctrl+G")
        export = say("E&xport as iCalendar…")
        self.add_action(export, self.export.ask, icon="export", keys="Ctrl+E")
        self.add_action(say("Month or &agenda"), self.views.switch, keys="Ctrl+J")
        return [back, on, today, go]

    @override
    def refresh(self) -> None:
        """Read the month of the chosen day anew."""
        self.context.work.on_logbook(
            partial(read_month, self.context.desk, self.context.speech, self._on, self._tub),
            done=self._show,
            title=self.context.say("Reading the calendar"),
            replaces="calendar",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the days."""
        self.views.take_focus()

    @override
    def show_subject(self, subject: object) -> None:
        """Go to a date that another screen sent the person here for."""
        if isinstance(subject, date):
            self.show_month_of(subject)

    def show_month_of(self, on: date) -> None:
        """Choose a day and show the month that it lies in."""
        self._on = on
        self.views.choose_day(on)
        self.refresh()

    @Slot(object)
    def go_to(self, on: date) -> None:
        """Choose a day, in whatever month it lies; days outside 1990 to 2199 are left alone."""
        if FIRST_DAY + timedelta(days=31) <= on <= LAST_DAY - timedelta(days=31):
            self._on = on
            if not self.views.choose_day(on):
                self.refresh()

    def _show(self, read: tuple[MonthShown, date]) -> None:
        self._shown, self._on = read
        self.views.choose_tub(self._tub)
        speech, today = self._shown.speech, self._shown.calendar.today
        told = [season_sentence(speech, now, today) for now in self._shown.calendar.seasons]
        self.say_below_title("; ".join(told))
        self.views.show_month(self._shown, self._on)
        self._needed.show_for(len(self._shown.calendar.tubs))

    # Going about

    @Slot(object)
    def _go_months(self, months: int) -> None:
        on = self._on
        if on is not None:
            year, month = divmod(on.year * 12 + on.month - 1 + months, 12)
            days = monthrange(year, month + 1)[1] if FIRST_DAY.year <= year <= LAST_DAY.year else 0
            if days:
                self.show_month_of(date(year, month + 1, min(on.day, days)))

    @Slot()
    def _month_back(self) -> None:
        self._go_months(-1)

    @Slot()
    def _month_on(self) -> None:
        self._go_months(1)

    @Slot()
    def _go_today(self) -> None:
        if self._shown is not None:
            self.show_month_of(self._shown.calendar.today)

    @Slot(object)
    def _show_tub(self, tub: TubId | None) -> None:
        self._tub = tub
        self.context.keeping.keep(_TUB, 0 if tub is None else int(tub))
        self.refresh()

    @Slot()
    def _next_line(self) -> None:
        self._step(1)

    @Slot()
    def _line_before(self) -> None:
        self._step(-1)

    def _step(self, places: int) -> None:
        self.views.step(places)
        line = self.views.line
        if line is not None and self._shown is not None:
            tubs = len(self._shown.calendar.seasons)
            announce(self, line_spoken(self._shown.speech, line, tubs=tubs))

    # Doing

    def _line(self) -> Line | None:
        return self.views.line

    @Slot(object)
    def _act(self, what: str) -> None:
        if what == "tick":
            self.acting.tick()
        else:
            self.acting.open()

    @Slot()
    def _ask_move(self) -> None:
        self.going.put_away()
        self.acting.ask_move()

    @Slot()
    def _ask_day(self) -> None:
        if self._shown is not None and self._on is not None:
            say = self.context.say
            self.moving.put_away()
            today = self._shown.calendar.today
            self.going.ask(say("Go to the day"), say("Go"), self._on, today)

    @Slot(object)
    def _answered(self, on: date) -> None:
        try:
            checked_day("date", on)
        except InputError as error:
            self.going.refuse(error)
            return
        self.going.put_away()
        self.show_month_of(on)
        self.take_focus()

    @Slot(object)
    def _follow(self, to: date) -> None:
        # The line stays chosen until its new day has been read, and is found there again.
        self._on = to
        self.refresh()


def _kept_tub(context: Context) -> TubId | None:
    kept = context.keeping.number(_TUB, 0)
    return TubId(kept) if kept else None
