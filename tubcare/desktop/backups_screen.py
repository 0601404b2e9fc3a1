"""The backups of the logbook: take one, bring one back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from PySide6.QtCore import Slot
from typing_extensions import override

from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.services.backups import back_up, backups_of, restore
from tubcare.services.household import home_zone
from tubcare.services.topics import Topic
from tubcare.words.dates import clock_time, medium_date
from tubcare.words.numbers import plain_number

if TYPE_CHECKING:
    from datetime import datetime

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.store.backup import Backup

_MEGABYTE = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupLine:
    """A backup with the time on the wall at home."""

    backup: Backup
    taken: datetime
    megabytes: float


class BackupsScreen(Screen):
    """Lists the backups, newest first."""

    topics: ClassVar[Topics] = frozenset({Topic.SETTINGS})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Backups"))
        columns = (
            Column(key="taken", title=say("Taken"), text=self._taken, sort=_order),
            Column(key="why", title=say("Why"), text=self._why, sort=self._why, stretch=True),
            Column(key="size", title=say("Size"), text=self._size, sort=_size, numeric=True),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("Backups"), "backups", self.model, context.keeping)
        take = self.add_action(say("&Back up now"), self.take, main=True)
        self.bring = self.add_action(say("B&ring this one back"), self.bring_back, button=True)
        self.bring.setEnabled(False)
        self.empty = EmptyState(
            say("No backup yet"),
            say(
                "One is taken each day the program is in use, and before each update of the "
                "logbook. A logbook on a server is backed up by the server's own tools."
            ),
            take,
        )
        self.body.addWidget(self.table, 1)
        self.body.addWidget(self.empty, 1)
        self.empty.hide()
        self.table.row_chosen.connect(self._follow_row)

    @override
    def refresh(self) -> None:
        """Look into the folder of backups anew."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Looking at the backups"),
            replaces="backups",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        self.table.setFocus()

    @Slot()
    def take(self) -> None:
        """Take a backup now."""
        self.context.work.on_logbook(
            partial(back_up, self.context.desk),
            done=self._say_taken,
            title=self.context.say("Taking a backup"),
        )

    @Slot()
    def bring_back(self) -> None:
        """Bring the chosen backup back; what was there becomes a backup itself."""
        line = self.table.current_row
        if line is not None:
            self.context.work.on_logbook(
                partial(restore, self.context.desk, line.backup.path),
                done=self._say_restored,
                title=self.context.say("Bringing a backup back"),
            )

    def _show(self, lines: tuple[BackupLine, ...]) -> None:
        self.model.set_rows(lines)
        self.table.setVisible(bool(lines))
        self.empty.setVisible(not lines)
        self._follow_row(self.table.current_row)

    @Slot(object)
    def _follow_row(self, line: BackupLine | None) -> None:
        self.bring.setEnabled(line is not None)

    def _say_taken(self, taken: Backup) -> None:
        self.context.strip.say(
            self.context.say("Backup taken and checked: {file}", file=str(taken.path))
        )
        self.refresh()

    def _say_restored(self, kept: Backup | None) -> None:
        say = self.context.say
        file = "" if kept is None else kept.path.name
        self.context.strip.say(
            say(
                "The backup is back. What was there before is kept in this list as {file}.",
                file=file,
            )
        )
        self.refresh()

    def _taken(self, line: BackupLine) -> str:
        speech = self.context.speech
        return speech.say(
            "{day}, {time}",
            day=medium_date(speech, line.taken.date()),
            time=clock_time(speech, line.taken),
        )

    def _why(self, line: BackupLine) -> str:
        say = self.context.say
        return {
            "daily": say("daily"),
            "asked": say("asked for"),
            "before-update": say("before an update of the logbook"),
            "before-restore": say("before another backup was brought back"),
            "damaged": say("damaged file, moved aside"),
        }.get(line.backup.why, line.backup.why)

    def _size(self, line: BackupLine) -> str:
        speech = self.context.speech
        return speech.say("{count} MB", count=plain_number(speech, round(line.megabytes, 1)))


def _read(desk: Desk) -> tuple[BackupLine, ...]:
    zone = ZoneInfo(home_zone(desk))
    return tuple(
        BackupLine(
            backup=each,
            taken=each.taken_at.astimezone(zone),
            megabytes=each.path.stat().st_size / _MEGABYTE,
        )
        for each in backups_of(desk)
    )


def _identity(line: BackupLine) -> str:
    return str(line.backup.path)


def _order(line: BackupLine) -> float:
    return line.taken.timestamp()


def _size(line: BackupLine) -> float:
    return line.megabytes
