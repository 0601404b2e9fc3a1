"""The main window: painted at once, then filled with sections, messages and menus."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal, Slot
from PySide6.QtWidgets import QApplication, QMainWindow
from typing_extensions import override

from tubcare.desktop.geometry import keep_geometry, restore_geometry
from tubcare.desktop.page_list import ABOUT, BACKUPS, HELP, PAGES, SETTINGS
from tubcare.desktop.pages import OpeningPage
from tubcare.errors import StoreDamagedError

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QAction, QCloseEvent, QResizeEvent

    from tubcare.desktop.frame import Frame
    from tubcare.desktop.icons import Icons
    from tubcare.desktop.keeper import Keeper, Opened, Voice
    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.logbook import Logbook, Standing
    from tubcare.desktop.menus import Menus
    from tubcare.desktop.notices import Notices
    from tubcare.desktop.screen import Context
    from tubcare.desktop.screens import Screens
    from tubcare.desktop.section import Section
    from tubcare.desktop.sidebar import Sidebar
    from tubcare.desktop.strip import Strip
    from tubcare.desktop.theme import Theme
    from tubcare.desktop.work import Fault, Work
    from tubcare.words.locale import Speech

PROGRAM = "tubcare"
_SETTLED_MS = 2000
_MENU_PADDING = 10
_SECTION = "window/section"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """What a window is put together from."""

    sections: tuple[Section, ...]
    open_logbook: Callable[[], Logbook]
    """Called in the logbook's thread, after the window was painted."""
    theme: Theme
    keeping: Keeping
    speech: Speech
    restore_newest: Callable[[], None] | None = None
    """Brings the newest backup back into a logbook that does not open, where it is a file."""
    first_run: Section | None = None
    """Shown instead of the first section while the logbook is new."""
    pages: tuple[Section, ...] = PAGES
    """Screens that are not in the sidebar: help, about."""
    counted: str = "week"
    """Key of the section that carries the number of due things."""


class Window(QMainWindow):
    """The one window of the program."""

    painted = Signal(object)
    """Carries nothing (None), once: the window is on the screen."""
    opened = Signal(object)
    """Carries the `Context` once the logbook is open and the first screen is shown."""
    hidden_to_tray = Signal(object)
    """Carries nothing (None); the window was closed while the program goes on."""

    # There once the window is assembled.
    voice: Voice
    work: Work
    icons: Icons
    menus: Menus
    sidebar: Sidebar
    screens: Screens
    notices: Notices
    strip: Strip
    keeper: Keeper

    def __init__(self, parts: Parts) -> None:
        super().__init__()
        self.setWindowTitle(PROGRAM)
        self.setAccessibleName(PROGRAM)
        self._parts = parts
        self._quitting = False
        self.goes_on_when_closed = False
        self.context: Context | None = None
        self._settled = QTimer(self)
        self._settled.setSingleShot(True)
        self._settled.setInterval(_SETTLED_MS)
        self._settled.timeout.connect(self._keep)
        self._opening = OpeningPage(parts.speech)
        self._opening.painted.connect(self._go_on_soon)
        self._assembled = False
        # The place of the menus, so that nothing moves when they come.
        self.menuBar().setMinimumHeight(self.fontMetrics().lineSpacing() + _MENU_PADDING)
        self.setCentralWidget(self._opening)
        restore_geometry(self, parts.keeping)

    def assemble(self) -> None:
        """Put in all that the first paint can do without; once."""
        if self._assembled:
            return
        from tubcare.desktop.frame import Frame  # noqa: PLC0415  after the first paint

        self._assembled = True
        parts = self._parts
        frame = Frame(self, parts)
        self.voice, self.work, self.icons = frame.voice, frame.work, frame.icons
        self.menus, self.sidebar, self.screens = frame.menus, frame.sidebar, frame.screens
        self.notices, self.strip, self.keeper = frame.notices, frame.strip, frame.keeper
        self.screens.show_page(self._opening)
        self.setCentralWidget(frame)
        self._connect(frame)
        self.menus.name_steps("", "")
        # Else the list makes its first line current as soon as it gets the focus.
        self.sidebar.mark(parts.keeping.text(_SECTION, parts.sections[0].key))

    def _connect(self, frame: Frame) -> None:
        self.sidebar.section_chosen.connect(self._show_chosen)
        self.screens.shown.connect(self._follow_screen)
        self.work.faulted.connect(self.tell_fault)
        self.keeper.opened.connect(self._show_opened)
        self.keeper.not_opened.connect(self._show_closed)
        self.keeper.standing_changed.connect(self._show_standing)
        self.keeper.topics_changed.connect(self.screens.refresh)
        menus = self.menus
        menus.undo.triggered.connect(self.keeper.undo)
        menus.redo.triggered.connect(self.keeper.redo)
        menus.refresh.triggered.connect(self._look_again)
        menus.back.triggered.connect(self._back)
        menus.next_part.triggered.connect(frame.next_part)
        menus.message.triggered.connect(frame.to_message)
        menus.close_window.triggered.connect(self.close)
        menus.quit.triggered.connect(self.quit)
        menus.help_page.triggered.connect(self._help)
        menus.about.triggered.connect(self._about)
        menus.settings.triggered.connect(self._show_settings)
        menus.backups.triggered.connect(self._show_backups)
        menus.go.triggered.connect(self._go_from_menu)

    # Opening

    @Slot()
    def _go_on_soon(self) -> None:
        QTimer.singleShot(0, self.go_on)

    @Slot()
    def go_on(self) -> None:
        """Do what comes after the first paint: put in the rest, open the logbook."""
        self.assemble()
        self.keeper.open()
        self.painted.emit(None)

    @Slot(object)
    def _show_opened(self, opened: Opened) -> None:
        from tubcare.desktop.screen import Context  # noqa: PLC0415  after the first paint

        self.context = Context(
            desk=opened.logbook.desk,
            voice=self.voice,
            work=self.work,
            strip=self.strip,
            notices=self.notices,
            icons=self.icons,
            theme=self._parts.theme,
            keeping=self._parts.keeping,
            go=self.go,
            undo=self.keeper.undo,
            place=opened.logbook.place,
        )
        self.screens.set_context(self.context)
        if opened.needs_setup and self._parts.first_run is not None:
            self.go(self._parts.first_run.key)
        else:
            self.go(self._parts.keeping.text(_SECTION))
        self.opened.emit(self.context)

    @Slot(object)
    def _show_closed(self, error: BaseException) -> None:
        from tubcare.desktop.closed_page import ClosedPage  # noqa: PLC0415  seldom needed
        from tubcare.desktop.faults import explain  # noqa: PLC0415
        from tubcare.desktop.work import Fault  # noqa: PLC0415

        speech = self.voice.speech
        fault = Fault(title=speech.say("Opening the logbook"), error=error)
        page = ClosedPage(explain(fault, speech), speech)
        page.again_wanted.connect(self._again)
        page.quit_wanted.connect(self.quit)
        if isinstance(error, StoreDamagedError) and self._parts.restore_newest is not None:
            page.backup_wanted.connect(self._bring_back)
            page.backup_button.show()
        self.screens.show_page(page)
        page.again_button.setFocus()

    @Slot()
    def _again(self) -> None:
        self.screens.show_page(self._opening)
        self.keeper.open()

    @Slot()
    def _bring_back(self) -> None:
        if self._parts.restore_newest is not None:
            self.screens.show_page(self._opening)
            self.keeper.open_after(self._parts.restore_newest)

    # Going about

    def go(self, key: str, subject: object = None) -> None:
        """Show the section of that key (the first one when unknown), and a subject in it."""
        if self.context is None:
            return
        self.screens.show_section(key, subject)

    @Slot(object)
    def _show_chosen(self, key: str) -> None:
        if self.context is None:
            self._parts.keeping.keep(_SECTION, key)
        else:
            self.screens.show_section(key, focus=False)

    @Slot(object)
    def _go_from_menu(self, action: QAction) -> None:
        key = action.data()
        if isinstance(key, str):
            self.go(key)

    @Slot(object)
    def _follow_screen(self, key: str) -> None:
        self.sidebar.mark(key)
        self.menus.show_actions(self.screens.actions_of_screen)
        self.menus.back.setEnabled(self.screens.can_go_back)
        if any(section.key == key for section in self._parts.sections):
            self._parts.keeping.keep(_SECTION, key)
        self._name_window()

    def _name_window(self) -> None:
        due = self.keeper.standing.due
        count = f"({due}) " if due else ""
        title = self.voice.speech.say(self.screens.title) if self.screens.title else ""
        self.setWindowTitle(f"{count}{title} — {PROGRAM}" if title else f"{count}{PROGRAM}")

    @Slot()
    def _back(self) -> None:
        self.screens.back()

    @Slot()
    def _look_again(self) -> None:
        self.keeper.look_again()
        self.screens.refresh_all()

    @Slot(object)
    def _show_standing(self, standing: Standing) -> None:
        self.menus.name_steps(standing.undo, standing.redo)
        self.sidebar.set_count(self._parts.counted, standing.due)
        self._name_window()

    @Slot(object)
    def tell_fault(self, fault: Fault) -> None:
        """Tell of an error without a window of its own."""
        from tubcare.desktop.faults import explain  # noqa: PLC0415  seldom needed
        from tubcare.desktop.notices import Notice  # noqa: PLC0415

        told = explain(fault, self.voice.speech)
        self.notices.put(
            Notice(
                key=f"fault {fault.title}",
                title=told.happened,
                text=told.text,
                details=told.details,
                is_fault=True,
            )
        )

    @Slot()
    def _help(self) -> None:
        self.go(HELP, self.screens.key)

    @Slot()
    def _about(self) -> None:
        self.go(ABOUT)

    @Slot()
    def _show_settings(self) -> None:
        self.go(SETTINGS)

    @Slot()
    def _show_backups(self) -> None:
        self.go(BACKUPS)

    # Leaving

    @Slot()
    def quit(self) -> None:
        """End the program, whatever goes on when the window is closed."""
        self._quitting = True
        if self.close():
            QApplication.quit()

    @override
    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep the window's state; hide when the program goes on, else finish the work."""
        self._keep()
        if self.goes_on_when_closed and not self._quitting:
            event.ignore()
            self.hide()
            self.hidden_to_tray.emit(None)
            return
        self._settled.stop()
        left: tuple[str, ...] = ()
        if self._assembled:
            self.strip.put_away()
            left = self.keeper.close()
        if left:
            import logging  # noqa: PLC0415  it loads after the first paint

            logging.getLogger(__name__).warning("cut off at closing: %s", ", ".join(left))
        event.accept()
        if not QApplication.quitOnLastWindowClosed():
            QApplication.quit()

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the new size once it has settled."""
        super().resizeEvent(event)
        self._settled.start()

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Keep the state of a window that was maximised or restored."""
        super().changeEvent(event)
        if event.type() is event.Type.WindowStateChange:
            self._settled.start()

    @Slot()
    def _keep(self) -> None:
        keep_geometry(self, self._parts.keeping)
        self._parts.keeping.write()
