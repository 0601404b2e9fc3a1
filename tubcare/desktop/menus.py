"""The menu bar: every action of the window is found in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence

from tubcare.desktop.theme import Appearance

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtWidgets import QMainWindow, QMenu

    from tubcare.desktop.section import Section
    from tubcare.desktop.theme import Theme
    from tubcare.words.locale import Speech

_Keys = QKeySequence.StandardKey
_NUMBERED = 9


class Menus:
    """Builds the menus; the window connects what they do."""

    def __init__(
        self, window: QMainWindow, sections: Sequence[Section], theme: Theme, speech: Speech
    ) -> None:
        self._window, self._speech, say = window, speech, speech.say
        bar = window.menuBar()
        self.file = bar.addMenu(say("&File"))
        self.edit = bar.addMenu(say("&Edit"))
        self.view = bar.addMenu(say("&View"))
        self.go = bar.addMenu(say("&Go"))
        self.actions = bar.addMenu(say("&Actions"))
        self.help = bar.addMenu(say("&Help"))
        self.backups = self._add(self.file, say("&Backups"), "")
        self.close_window = self._add(self.file, say("&Close window"), "Ctrl+W")
        self.quit = self._add(self.file, say("&Quit"), "Ctrl+Q")
        self.quit.setMenuRole(QAction.MenuRole.QuitRole)
        self.undo = self._add(self.edit, say("&Undo"), _Keys.Undo)
        self.redo = self._add(self.edit, say("&Redo"), "Ctrl+Shift+Z")
        self.settings = self._add(self.edit, say("&Settings"), "Ctrl+,")
        self.settings.setMenuRole(QAction.MenuRole.PreferencesRole)
        self._fill_view(theme)
        self.sections = [self._section(place, entry) for place, entry in enumerate(sections, 1)]
        self.go.addSeparator()
        self.back = self._add(self.go, say("&Back"), "Alt+Left")
        self.next_part = self._add(self.go, say("Next &part of the window"), "F6")
        self.message = self._add(self.go, say("To the &message"), "Ctrl+M")
        self.help_page = self._add(self.help, say("&Help for this page"), _Keys.HelpContents)
        self.about = self._add(self.help, say("&About tubcare"), "")
        self.about.setMenuRole(QAction.MenuRole.AboutRole)
        self.show_actions(())

    def show_actions(self, actions: Sequence[QAction]) -> None:
        """Fill the menu “Actions” with what the shown screen can do."""
        self.actions.clear()
        for action in actions:
            self.actions.addAction(action)
        self.actions.menuAction().setEnabled(bool(actions))

    def add_to_file(self, action: QAction) -> None:
        """Put an action into the menu “File”, above closing and quitting."""
        self.file.insertAction(self.close_window, action)

    def name_steps(self, undo: str, redo: str) -> None:
        """Name in the menu what the next undo and redo change."""
        self.undo.setText(self._step(self._speech.say("&Undo"), undo))
        self.undo.setEnabled(bool(undo))
        self.redo.setText(self._step(self._speech.say("&Redo"), redo))
        self.redo.setEnabled(bool(redo))

    def _step(self, verb: str, what: str) -> str:
        # An ampersand in a person's own words is no mnemonic.
        words = what.replace("&", "&&")
        return f"{verb}: {words}" if what else verb

    def _fill_view(self, theme: Theme) -> None:
        say = self._speech.say
        self.refresh = self._add(self.view, say("&Look again"), _Keys.Refresh)
        self.view.addSeparator()
        larger = self._add(self.view, say("L&arger text"), _Keys.ZoomIn)
        # On many keyboards the plus sign needs Shift, the equals sign beside it does not.
        larger.setShortcuts([QKeySequence("Ctrl++"), QKeySequence("Ctrl+=")])
        larger.triggered.connect(theme.larger_text)
        smaller = self._add(self.view, say("S&maller text"), "Ctrl+-")
        smaller.triggered.connect(theme.smaller_text)
        normal = self._add(self.view, say("&Normal text size"), "Ctrl+0")
        normal.triggered.connect(theme.normal_text)
        self.view.addSeparator()
        colours = self.view.addMenu(say("&Colours"))
        group = QActionGroup(self._window)
        for appearance, text in (
            (Appearance.SYSTEM, say("As the &system")),
            (Appearance.LIGHT, say("&Light")),
            (Appearance.DARK, say("&Dark")),
        ):
            action = _AppearanceAction(text, appearance, theme, self._window)
            group.addAction(action)
            colours.addAction(action)

    def _section(self, place: int, entry: Section) -> QAction:
        action = self._add(
            self.go, self._speech.say(entry.title), f"Ctrl+{place}" if place <= _NUMBERED else ""
        )
        action.setData(entry.key)
        return action

    def _add(self, menu: QMenu, text: str, keys: str | _Keys) -> QAction:
        action = QAction(text, self._window)
        if keys:
            action.setShortcut(QKeySequence(keys))
        menu.addAction(action)
        return action


class _AppearanceAction(QAction):
    def __init__(
        self, text: str, appearance: Appearance, theme: Theme, window: QMainWindow
    ) -> None:
        super().__init__(text, window)
        self._appearance = appearance
        self._choose: Callable[[Appearance], None] = theme.choose
        self.setCheckable(True)
        self.setChecked(theme.appearance is appearance)
        self.triggered.connect(self._use)

    def _use(self) -> None:
        self._choose(self._appearance)
