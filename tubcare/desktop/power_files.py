"""Takes a file over in two steps: what it holds and what has to be asked, then all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.power_file_answers import AnswersForm
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import worded
from tubcare.desktop.work import Fault
from tubcare.errors import TubcareError
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.frost import question_told

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.energy.weather_columns import Question
    from tubcare.energy.weather_text import Answers
    from tubcare.services.power_weather import FileClock


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a file would bring, in lines, and what has to be asked first."""

    lines: tuple[str, ...]
    questions: tuple[Question, ...]
    usable: bool


class FileReader(Protocol):
    """Looks into a file and takes it over; both are called in the logbook's thread."""

    def look(self, text: str, answers: Answers, clock: FileClock) -> Looked:
        """Return what the file would bring."""
        ...

    def take(self, text: str, source: str, answers: Answers, clock: FileClock) -> object:
        """Take the file over."""
        ...


class FileBox(QWidget):
    """Chooses a file, asks what it does not tell, shows what it brings, and takes it over."""

    def __init__(
        self, context: Context, reader: FileReader, *, choose: QAction, takes: str
    ) -> None:
        super().__init__()
        say = context.say
        self._context = context
        self._reader = reader
        self._text: str | None = None
        self._path = Path()
        self.answers = AnswersForm(context, takes)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.take_action = QAction(say("Take this file over"), self)
        self.take_action.triggered.connect(self.take)
        self.leave_action = QAction(say("Leave it"), self)
        self.leave_action.triggered.connect(self.leave)
        buttons = QHBoxLayout()
        buttons.addWidget(ActionButton(self.take_action))
        buttons.addWidget(ActionButton(self.leave_action))
        buttons.addStretch()
        self._held = QWidget()
        held = QVBoxLayout(self._held)
        held.setContentsMargins(0, 0, 0, 0)
        held.addWidget(self.told)
        held.addWidget(self.answers)
        held.addLayout(buttons)
        row = QHBoxLayout()
        row.addWidget(ActionButton(choose))
        row.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addLayout(row)
        rows.addWidget(self._held)
        self._held.hide()
        choose.triggered.connect(self.choose)
        self.answers.changed.connect(self._look_again)

    @Slot()
    def choose(self) -> None:
        """Ask for a file, and look into it."""
        name, _kind = QFileDialog.getOpenFileName(
            self, self._context.say("Choose a file"), "", "CSV (*.csv *.txt *.dat);;* (*)"
        )
        if name:
            self.open(Path(name))

    def open(self, path: Path) -> None:
        """Look into a file; nothing is written."""
        self._path = path
        self._context.work.on_logbook(
            partial(_read, path),
            done=self._take_text,
            failed=self._tell,
            title=self._context.say("Reading a file"),
        )

    @Slot()
    def take(self) -> None:
        """Take the file over as it was answered."""
        if self._text is None:
            return
        self._context.work.on_logbook(
            partial(
                self._reader.take,
                self._text,
                self._path.name,
                self.answers.told(),
                self.answers.file_clock(),
            ),
            done=self._say_taken,
            failed=self._tell,
            title=self._context.say("Taking a file over"),
        )

    @Slot()
    def leave(self) -> None:
        """Forget the file that was looked into."""
        self._text = None
        self._held.hide()

    def _take_text(self, text: str) -> None:
        self._text = text
        self.answers.offer_columns(text)
        self._look_again(None)

    @Slot(object)
    def _look_again(self, _nothing: object) -> None:
        if self._text is None:
            return
        self._context.work.on_logbook(
            partial(self._reader.look, self._text, self.answers.told(), self.answers.file_clock()),
            done=self._show,
            failed=self._tell,
            title=self._context.say("Looking into a file"),
            replaces="look into file",
        )

    def _show(self, looked: Looked) -> None:
        speech = self._context.speech
        asked = [question_told(speech, each) for each in looked.questions]
        lines = [self._path.name, *asked, *looked.lines]
        self._say("\n".join(lines), faulty=bool(asked) or not looked.usable)
        self.take_action.setEnabled(looked.usable)

    def _tell(self, error: BaseException) -> None:
        if not isinstance(error, TubcareError | OSError):
            title = self._context.say("Looking into a file")
            self._context.work.faulted.emit(Fault(title=title, error=error))
            return
        told = [str(error)]
        if isinstance(error, TubcareError):
            told = list(trouble(self._context.speech, error).lines)
        self._say(" ".join([self._path.name, *told]), faulty=True)
        self.take_action.setEnabled(False)

    def _say(self, text: str, *, faulty: bool) -> None:
        worded(self.told, "error" if faulty else "")
        self.told.style().unpolish(self.told)
        self.told.style().polish(self.told)
        self.told.setText(text)
        self._held.show()
        announce(self.told, text)

    def _say_taken(self, _place: object) -> None:
        self.leave()
        text = self._context.say("Taken over: {file}.", file=self._path.name)
        self._context.strip.say(text, undo=self._context.undo)


def _read(path: Path) -> str:
    raw = path.read_bytes()
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")
