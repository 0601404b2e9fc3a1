"""The sections of the window, in the order of the sidebar; adding one is one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.screen import Section

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context, Screen


def _week(context: Context) -> Screen:
    from tubcare.desktop.week_screen import WeekScreen  # noqa: PLC0415  loaded when first shown

    return WeekScreen(context)


SECTIONS = (Section(key="week", title="This week", icon="week", make=_week),)
