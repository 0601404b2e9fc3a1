"""The year review: what a year or season cost and what was done, beside the one before."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QTabWidget, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.charts import ChartView
from tubcare.desktop.choices import ListBox
from tubcare.desktop.period_words import period_name
from tubcare.desktop.print.review_printer import ReviewPrinter
from tubcare.desktop.review_charts import ReviewCharts
from tubcare.desktop.review_content import ReviewContent
from tubcare.desktop.review_tables import TablePage
from tubcare.desktop.review_work import ReviewShown, read_review, write_csv
from tubcare.desktop.screen import Screen
from tubcare.exchange.review_csv import review_csv
from tubcare.ledger.contributions import View
from tubcare.services.topics import Topic
from tubcare.words.sentences.review import (
    effect_sentences,
    estimate_sentence,
    missed_sentence,
    only_sentence,
    review_sentences,
)

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.ledger.review_model import ViewReview
    from tubcare.services.period_choices import PeriodChoice
    from tubcare.services.topics import Topics
    from tubcare.values import TubId


class ReviewScreen(Screen):
    """Shows one period in one view: what it says, its charts, and its tables."""

    topics: ClassVar[Topics] = frozenset(
        {Topic.MONEY, Topic.STOCK, Topic.UPKEEP, Topic.MEASURES, Topic.TUBS, Topic.TASKS}
    )

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Year review"))
        self._shown: ReviewShown | None = None
        self._wanted: PeriodChoice | None = None
        self._only: TubId | None = None
        self.period = ListBox()
        self.period.setAccessibleName(say("Year or season"))
        self.tub = ListBox()
        self.tub.setAccessibleName(say("Tub"))
        self.view = ListBox()
        self.view.setAccessibleName(say("View"))
        self.view.fill(
            [
                (say("Used: what the tub consumed"), View.USED.value),
                (say("Paid: what left the wallet"), View.PAID.value),
            ]
        )
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.why = QLabel()
        self.why.setWordWrap(True)
        self.why.setTextFormat(Qt.TextFormat.PlainText)
        self.month_chart = ChartView(context, "review-months")
        self.kind_chart = ChartView(context, "review-kinds")
        self.pages = {
            key: TablePage(context)
            for key in ("kinds", "tasks", "kind-months", "task-months", "tubs", "effects")
        }
        self.tabs = self._tabs()
        self._printer = ReviewPrinter(context, self._say_written)
        self._arrange()
        add = self.add_action
        self._pdf_action = add(
            say("&Print as PDF…"), self._print, icon="print", keys="Ctrl+P", button=True
        )
        self._csv_action = add(
            say("&Export as CSV…"), self._export, icon="export", keys="Ctrl+E", button=True
        )
        for action in (self._pdf_action, self._csv_action):
            action.setEnabled(False)
        self.period.activated.connect(self._choose_period)
        self.tub.activated.connect(self._choose_tub)
        self.view.currentIndexChanged.connect(self._show_view)

    @override
    def refresh(self) -> None:
        """Read the review anew."""
        self.context.work.on_logbook(
            partial(read_review, self.context.desk, self._wanted, self._only),
            done=self._show,
            title=self.context.say("Reading the review"),
            replaces="review",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the choice of the period."""
        self.period.setFocus()

    def export_to(self, path: Path) -> None:
        """Write the tables of the review to a file, and say so."""
        if self._shown is not None:
            text = review_csv(self._shown.reviewed, self.context.speech.currency)
            self.context.work.elsewhere(
                partial(write_csv, path, text),
                done=self._say_written,
                title=self.context.say("Writing the file"),
            )

    def print_to(self, path: Path) -> None:
        """Write the review as PDF, and say so."""
        if self._shown is not None:
            self._printer.print_to(path, self._shown.reviewed)

    def _tabs(self) -> QTabWidget:
        say = self.context.say
        why = QWidget()
        rows = QVBoxLayout(why)
        rows.setContentsMargins(0, 8, 0, 0)
        self.why.setContentsMargins(10, 2, 10, 2)
        rows.addWidget(self.why)
        rows.addWidget(self.pages["effects"], 1)
        rows.addStretch()
        tabs = QTabWidget()
        tabs.setAccessibleName(say("Charts and tables of the review"))
        tabs.setUsesScrollButtons(True)
        for page, title in (
            (self.month_chart, say("By month")),
            (self.kind_chart, say("Kinds by month")),
            (self.pages["kinds"], say("By kind")),
            (self.pages["tasks"], say("By task")),
            (self.pages["kind-months"], say("Kinds, month by month")),
            (self.pages["task-months"], say("Tasks, month by month")),
            (self.pages["tubs"], say("By tub")),
            (why, say("Why it changed")),
        ):
            tabs.addTab(page, title)
        return tabs

    def _arrange(self) -> None:
        choices = QHBoxLayout()
        choices.addWidget(self.period, 1)
        choices.addWidget(self.tub, 1)
        # Its words are the longest.
        choices.addWidget(self.view, 2)
        self.body.addLayout(choices)
        self.body.addWidget(self.told)
        self.body.addWidget(self.tabs, 1)

    def _show(self, shown: ReviewShown) -> None:
        self._shown = shown
        self._wanted = shown.chosen
        speech = self.context.speech
        self.period.fill((period_name(speech, each), each) for each in shown.choices)
        self.period.setCurrentIndex(shown.choices.index(shown.chosen))
        self._only = shown.reviewed.only
        everything: tuple[str, TubId | None] = (self.context.say("All tubs"), None)
        self.tub.fill((everything, *shown.tubs))
        self.tub.setCurrentIndex(self.tub.findData(self._only))
        self.tub.setVisible(len(shown.tubs) > 1)
        for action in (self._pdf_action, self._csv_action):
            action.setEnabled(True)
        self._show_view()

    @Slot(int)
    def _choose_period(self, at: int) -> None:
        if self._shown is not None:
            self._wanted = self._shown.choices[at]
            self.refresh()

    @Slot(int)
    def _choose_tub(self, at: int) -> None:
        self._only = self.tub.itemData(at)
        self.refresh()

    @Slot(int)
    def _show_view(self, _index: int = 0) -> None:
        if self._shown is None:
            return
        speech, reviewed = self.context.speech, self._shown.reviewed
        view = self._chosen_view(self._shown)
        told = [*review_sentences(speech, reviewed.review, view, is_over=reviewed.is_over)]
        if reviewed.only_name:
            told.insert(0, only_sentence(speech, reviewed.only_name))
        told.append(estimate_sentence(speech, reviewed.estimated_minor))
        told.append(missed_sentence(speech, view, reviewed.task_name))
        self.told.setText(" ".join(each for each in told if each))
        charts = ReviewCharts(speech, reviewed, view)
        self.month_chart.show_chart(charts.by_month())
        self.kind_chart.show_chart(charts.by_kind())
        for table in ReviewContent(speech, reviewed, view).all_tables():
            self.pages[table.key].show_table(table)
        why = effect_sentences(speech, reviewed.effects, is_over=reviewed.is_over)
        nothing = speech.say("There is no period before this one to compare with.")
        self.why.setText("\n".join(why) if why else nothing)
        self.pages["effects"].setVisible(bool(why))

    def _chosen_view(self, shown: ReviewShown) -> ViewReview:
        review = shown.reviewed.review
        return review.paid if self.view.currentData() == View.PAID.value else review.used

    @Slot()
    def _export(self) -> None:
        chosen = self._ask_for_file(self.context.say("Export the review"), "csv")
        if chosen is not None:
            self.export_to(chosen)

    @Slot()
    def _print(self) -> None:
        chosen = self._ask_for_file(self.context.say("Print the review"), "pdf")
        if chosen is not None:
            self.print_to(chosen)

    def _ask_for_file(self, title: str, ending: str) -> Path | None:
        if self._wanted is None:
            return None
        name = f"tubcare {self._wanted.period.first.isoformat()}.{ending}"
        chosen, _kind = QFileDialog.getSaveFileName(
            self, title, name, f"{ending.upper()} (*.{ending})"
        )
        return Path(chosen) if chosen else None

    def _say_written(self, path: Path) -> None:
        self.context.strip.say(self.context.say("Written: {file}", file=str(path)))
