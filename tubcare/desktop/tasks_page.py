"""The page of one task: why it is due, its window, steps and cautions, what was done before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.care.terms import Status
from tubcare.desktop.marks import MARKS, state_word
from tubcare.desktop.tasks_history import HistoryView
from tubcare.desktop.tasks_steps import CautionLabel, StepsView, wrapped
from tubcare.desktop.tasks_words import inspection_text, needs_text, usual_text, window_text
from tubcare.desktop.theme import worded
from tubcare.words.sentences.rules import task_rule
from tubcare.words.sentences.shelf import lacking
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.task_record import TaskPage
    from tubcare.services.tasks import TaskDetail

WIDEST_LETTERS = 100
LEAST_HEIGHT = 120


class TaskPageView(QScrollArea):
    """Shows a task handed to it; empty words say how to choose one."""

    step_ticked = Signal(object)
    """Carries a tuple of the number of a step (from 0) and whether it is ticked now."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        say = context.say
        self.shown: TaskPage | None = None
        self.title = worded(wrapped(""), "group")
        self.place = worded(wrapped(""), "muted")
        self.state = StateLine(context)
        self.why = wrapped("")
        self.rule = worded(wrapped(""), "muted")
        self.needs = worded(wrapped(""), "strong")
        self.usual = wrapped("")
        self.lacks = worded(wrapped(""), "strong")
        self.purpose = wrapped("")
        self.inspection = wrapped("")
        self._cautions = QVBoxLayout()
        self.steps_heading = worded(QLabel(say("Steps")), "strong")
        self.steps = StepsView(context)
        self.steps_end = worded(wrapped(say("All steps are ticked; tick off the task.")), "strong")
        self.tools = wrapped("")
        self.history_heading = worded(wrapped(""), "strong")
        self.history = HistoryView(context)
        self.sources = worded(wrapped(""), "muted")
        self._fill()
        self.steps.ticked.connect(self.step_ticked)
        self.show_task(None)

    def show_task(self, page: TaskPage | None) -> None:
        """Show a task, None for none."""
        self.shown = page
        self._inside.setVisible(page is not None)
        self._none.setVisible(page is None)
        if page is None:
            return
        detail, speech = page.detail, self._context.speech
        self.title.setText(detail.title)
        self.place.setText(_place(self._context, detail))
        self.state.show_state(detail)
        self._show_due(detail)
        self.rule.setText(
            speech.say(
                "Rule: {rule}",
                rule=task_rule(speech, detail.task.triggers, detail.task.scope),
            )
        )
        _put(self.needs, needs_text(speech, detail))
        _put(self.usual, usual_text(speech, detail))
        _put(self.lacks, "\n".join(lacking(speech, page.lacks)))
        _put(self.purpose, detail.card.why)
        _put(self.inspection, inspection_text(speech, detail))
        self._show_cautions(detail.general_cautions)
        self._show_steps(page)
        tools = ", ".join(detail.card.tools)
        _put(self.tools, speech.say("Tools: {names}", names=tools) if tools else "")
        self._show_history(page)
        sources = [speech.say("Source: {text}", text=text) for text in detail.card.sources]
        _put(self.sources, "\n".join(sources))
        self.updateGeometry()

    def take_focus(self) -> None:
        """Give the keyboard to the first step, or to the history."""
        first = next((row.box for row in self.steps.rows if row.box.isEnabled()), None)
        target = first if first is not None and self.steps.isVisible() else self.history.table
        target.setFocus()

    def _show_due(self, detail: TaskDetail) -> None:
        each, speech = detail.open, self._context.speech
        if each is None:
            self.why.setText(speech.say("Nothing of it is coming."))
            return
        told = why(speech, each, detail.today)
        window = window_text(speech, each, detail.today)
        self.why.setText(speech.say("{window}\nWhy: {why}", window=window, why=told))

    def _show_steps(self, page: TaskPage) -> None:
        detail = page.detail
        open_now = detail.open is not None and detail.open.status is not Status.ASLEEP
        self.steps.show_steps(detail.id, page.steps, detail.zone, open_now=open_now)
        self.steps_heading.setVisible(bool(page.steps))
        self.steps.setVisible(bool(page.steps))
        self.steps_end.setVisible(page.all_steps_done)

    def _show_history(self, page: TaskPage) -> None:
        speech = self._context.speech
        if page.history:
            told = speech.say_count("Done {n} time", "Done {n} times", page.done)
        else:
            told = speech.say("Nothing on record yet; “Tick off” writes the first line.")
        self.history_heading.setText(told)
        self.history.setVisible(bool(page.history))
        self.history.show_history(page.history)

    def _show_cautions(self, texts: tuple[str, ...]) -> None:
        while (item := self._cautions.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.hide()
                old.deleteLater()
        for text in texts:
            self._cautions.addWidget(CautionLabel(self._context, text))

    def _fill(self) -> None:
        self._inside = QWidget()
        rows = QVBoxLayout(self._inside)
        rows.setContentsMargins(12, 0, 8, 0)
        rows.setSpacing(8)
        first = (self.title, self.place, self.state, self.why, self.rule, self.needs)
        middle = (self.steps_heading, self.steps, self.steps_end, self.tools)
        last = (_line(), self.history_heading, self.history, self.sources)
        _put_below(rows, *first, self.usual, self.lacks, self.purpose, self.inspection)
        rows.addLayout(self._cautions)
        _put_below(rows, *middle, *last)
        rows.addStretch(1)
        self._none = worded(
            wrapped(self._context.say("Choose a task to see its steps and its history.")), "muted"
        )
        self._none.setContentsMargins(12, 0, 8, 0)
        holder = QWidget()
        both = QVBoxLayout(holder)
        both.setContentsMargins(0, 0, 0, 0)
        both.addWidget(self._none, 0, Qt.AlignmentFlag.AlignTop)
        both.addWidget(self._inside, 1)
        holder.setMaximumWidth(WIDEST_LETTERS * self.fontMetrics().averageCharWidth())
        self.setWidget(holder)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._holder = holder

    @override
    def minimumSizeHint(self) -> QSize:
        """Return the width of the widest word or button; only downwards is scrolled."""
        bar = self.verticalScrollBar().sizeHint().width()
        return QSize(self._holder.minimumSizeHint().width() + bar, LEAST_HEIGHT)


class StateLine(QWidget):
    """The state of a task: its drawing and its word."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._drawing = QLabel()
        self.words = worded(QLabel(), "strong")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._drawing)
        row.addWidget(self.words)
        row.addStretch()

    def show_state(self, detail: TaskDetail) -> None:
        """Show how the open occurrence stands."""
        self.setVisible(detail.open is not None)
        if detail.open is None:
            return
        mark = MARKS[detail.open.status]
        scale = self.devicePixelRatioF()
        self._drawing.setPixmap(self._context.icons.pixmap(mark.icon, mark.colour, scale=scale))
        self.words.setText(state_word(self._context.speech, detail.open.status))


def _place(context: Context, detail: TaskDetail) -> str:
    category = word(context.speech, detail.category)
    parts = [category[:1].upper() + category[1:], detail.tub_name]
    if detail.own:
        parts.append(context.say("your own"))
    if not detail.reminds:
        parts.append(context.say("no reminders"))
    return " · ".join(parts)


def _put(label: QLabel, text: str) -> None:
    label.setText(text)
    label.setVisible(bool(text))


def _put_below(rows: QVBoxLayout, *parts: QWidget) -> None:
    for part in parts:
        rows.addWidget(part)


def _line() -> QFrame:
    line = QFrame()
    line.setProperty("line", True)  # noqa: FBT003  a Qt property
    return line
