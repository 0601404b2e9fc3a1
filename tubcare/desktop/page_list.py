"""Screens of the window that are not in the sidebar."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tubcare.desktop.section import Section

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context, Screen

HELP: Final = "help"
ABOUT: Final = "about"
SETTINGS: Final = "settings"
BACKUPS: Final = "backups"
CATCH_UP: Final = "catch_up"


def _help(context: Context) -> Screen:
    from tubcare.desktop.help_screen import HelpScreen  # noqa: PLC0415  loaded when first shown

    return HelpScreen(context)


def _about(context: Context) -> Screen:
    from tubcare.desktop.about_screen import AboutScreen  # noqa: PLC0415  as above

    return AboutScreen(context)


def _settings(context: Context) -> Screen:
    from tubcare.desktop.settings_screen import SettingsScreen  # noqa: PLC0415  as above

    return SettingsScreen(context)


def _backups(context: Context) -> Screen:
    from tubcare.desktop.backups_screen import BackupsScreen  # noqa: PLC0415  as above

    return BackupsScreen(context)


def _catch_up(context: Context) -> Screen:
    from tubcare.desktop.catch_up_screen import CatchUpScreen  # noqa: PLC0415  as above

    return CatchUpScreen(context)


PAGES: Final = (
    Section(key=CATCH_UP, title="Catch up", icon="week", make=_catch_up),
    Section(key=SETTINGS, title="Settings", icon="edit", make=_settings),
    Section(key=BACKUPS, title="Backups", icon="export", make=_backups),
    Section(key=HELP, title="Help", icon="help", make=_help),
    Section(key=ABOUT, title="About tubcare", icon="tub", make=_about),
)
