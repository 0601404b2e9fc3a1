"""The sections of the window, in the order of the sidebar; adding one is one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.section import Section

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context, Screen


def _week(context: Context) -> Screen:
    from tubcare.desktop.week_screen import WeekScreen  # noqa: PLC0415  loaded when first shown

    return WeekScreen(context)


def _calendar(context: Context) -> Screen:
    from tubcare.desktop.calendar_screen import CalendarScreen  # noqa: PLC0415  as above

    return CalendarScreen(context)


def _tasks(context: Context) -> Screen:
    from tubcare.desktop.tasks_screen import TasksScreen  # noqa: PLC0415  as above

    return TasksScreen(context)


def _water(context: Context) -> Screen:
    from tubcare.desktop.water_screen import WaterScreen  # noqa: PLC0415  as above

    return WaterScreen(context)


def _power(context: Context) -> Screen:
    from tubcare.desktop.power_screen import PowerScreen  # noqa: PLC0415  as above

    return PowerScreen(context)


def _ledger(context: Context) -> Screen:
    from tubcare.desktop.ledger_screen import LedgerScreen  # noqa: PLC0415  as above

    return LedgerScreen(context)


def _review(context: Context) -> Screen:
    from tubcare.desktop.review_screen import ReviewScreen  # noqa: PLC0415  as above

    return ReviewScreen(context)


def _tub(context: Context) -> Screen:
    from tubcare.desktop.tub_screen import TubScreen  # noqa: PLC0415  as above

    return TubScreen(context)


def _first_run(context: Context) -> Screen:
    from tubcare.desktop.first_run import FirstRun  # noqa: PLC0415  as above

    return FirstRun(context)


FIRST_RUN = Section(key="first_run", title="Your tub", icon="tub", make=_first_run)
SECTIONS = (
    Section(key="week", title="This week", icon="week", make=_week),
    Section(key="calendar", title="Calendar", icon="calendar", make=_calendar),
    Section(key="tasks", title="Tasks", icon="tasks", make=_tasks),
    Section(key="water", title="Water", icon="water", make=_water),
    Section(key="power", title="Power", icon="power", make=_power),
    Section(key="ledger", title="Ledger", icon="ledger", make=_ledger),
    Section(key="review", title="Year review", icon="review", make=_review),
    Section(key="tub", title="Tub", icon="tub", make=_tub),
)
