"""The year review: what each month cost, by kind and by task, beside the year before."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QFileDialog, QHBoxLayout, QLabel, QTabWidget
from typing_extensions import override

from tubcare.desktop.charts import Chart, ChartKind, ChartView, Series
from tubcare.desktop.screen import Screen
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.exchange.review_csv import review_csv
from tubcare.ledger.contributions import View
from tubcare.services.period_choices import review_periods
from tubcare.services.reviews import year_review
from tubcare.services.topics import Topic
from tubcare.words.dates import month_name
from tubcare.words.money import money
from tubcare.words.money_terms import money_word
from tubcare.words.sentences.review import review_sentences

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.ledger.review_model import CategoryLine, TaskLine, ViewReview
    from tubcare.services.desk import Desk
    from tubcare.services.reviews import Reviewed
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewShown:
    """A review, the years to choose from, and the words to show it in."""

    reviewed: Reviewed
    years: tuple[int, ...]
    speech: Speech


class ReviewScreen(Screen):
    """Shows one year in one view: a chart by month, and the tables behind it."""

    topics: ClassVar[Topics] = frozenset({Topic.MONEY, Topic.STOCK, Topic.UPKEEP, Topic.MEASURES})

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Year review"))
        self._shown: ReviewShown | None = None
        self._year: int | None = None
        self.years = QComboBox()
        self.years.setAccessibleName(context.say("Year"))
        self.view = QComboBox()
        self.view.setAccessibleName(context.say("View"))
        self.view.addItem(context.say("Used: what the tub consumed"), View.USED.value)
        self.view.addItem(context.say("Paid: what left the wallet"), View.PAID.value)
        choices = QHBoxLayout()
        choices.addWidget(self.years)
        choices.addWidget(self.view)
        choices.addStretch()
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.chart = ChartView(context, "review")
        self.categories = self._table(
            "categories",
            context.say("By kind"),
            Column(key="name", title=context.say("Kind"), text=self._kind, stretch=True),
        )
        self.tasks = self._table(
            "tasks",
            context.say("By task"),
            Column(key="name", title=context.say("Task"), text=self._task, stretch=True),
            Column(key="done", title=context.say("Done"), text=_done, numeric=True),
            Column(key="missed", title=context.say("Missed"), text=_missed, numeric=True),
        )
        tabs = QTabWidget()
        tabs.setAccessibleName(context.say("Tables of the review"))
        for page, title in (
            (self.chart, context.say("By month")),
            (self.categories, context.say("By kind")),
            (self.tasks, context.say("By task")),
        ):
            tabs.addTab(page, title)
        self.body.addLayout(choices)
        self.body.addWidget(self.told)
        self.body.addWidget(tabs, 1)
        self.add_action(
            context.say("&Export as CSV…"), self._export, icon="export", keys="Ctrl+E", button=True
        )
        self.years.activated.connect(self._choose_year)
        self.view.currentIndexChanged.connect(self._show_view)

    @override
    def refresh(self) -> None:
        """Read the review anew."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk, self._year),
            done=self._show,
            title=self.context.say("Reading the year"),
            replaces="review",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the choice of the year."""
        self.years.setFocus()

    def _show(self, shown: ReviewShown) -> None:
        self._shown = shown
        self._year = shown.reviewed.review.period.first.year
        self.years.clear()
        for year in shown.years:
            self.years.addItem(str(year), year)
        self.years.setCurrentIndex(max(0, self.years.findData(self._year)))
        self._show_view()

    @Slot(int)
    def _choose_year(self, _index: int) -> None:
        self._year = self.years.currentData()
        self.refresh()

    @Slot(int)
    def _show_view(self, _index: int = 0) -> None:
        if self._shown is None:
            return
        view = self._view()
        self.told.setText(self._summary(view))
        self.chart.show_chart(self._chart_of(view))
        self.categories.rows_model.set_rows(view.categories)
        self.tasks.rows_model.set_rows(view.tasks)

    def _view(self) -> ViewReview:
        assert self._shown is not None  # noqa: S101  only called when something is shown
        review = self._shown.reviewed.review
        return review.paid if self.view.currentData() == View.PAID.value else review.used

    def _summary(self, view: ViewReview) -> str:
        return " ".join(review_sentences(self._speech(), self._reviewed().review, view))

    def _chart_of(self, view: ViewReview) -> Chart:
        speech, say = self._speech(), self.context.say
        unit = speech.currency.minor_per_unit
        series = [Series(name=str(self._year), values=_units(view.by_month, unit))]
        if view.before_by_month is not None and len(view.before_by_month) == len(view.by_month):
            before = say("The time before")
            series.append(Series(name=before, values=_units(view.before_by_month, unit)))
        return Chart(
            kind=ChartKind.BARS,
            title=say("Cost by month"),
            told=self._dearest_month(view),
            labels=tuple(
                month_name(speech, month.month, "abbreviated")
                for month in self._reviewed().review.months
            ),
            series=tuple(series),
            figure=self._figure,
            labels_title=say("Month"),
        )

    def _dearest_month(self, view: ViewReview) -> str:
        most = max(view.by_month, default=0)
        if most <= 0:
            return ""
        month = self._reviewed().review.months[view.by_month.index(most)]
        speech = self._speech()
        name = month_name(speech, month.month)
        return speech.say("Most in {month}: {amount}.", month=name, amount=money(speech, most))

    def _figure(self, value: float) -> str:
        speech = self._speech()
        return money(speech, round(value * speech.currency.minor_per_unit))

    def _speech(self) -> Speech:
        return self.context.speech if self._shown is None else self._shown.speech

    def _reviewed(self) -> Reviewed:
        assert self._shown is not None  # noqa: S101  only called when something is shown
        return self._shown.reviewed

    def _kind(self, line: CategoryLine) -> str:
        return money_word(self._speech(), line.category)

    def _task(self, line: TaskLine) -> str:
        if line.task is None:
            return self.context.say("belongs to no task")
        return self._reviewed().titles.get(line.task, "")

    def _amount(self, line: CategoryLine | TaskLine) -> str:
        return money(self._speech(), line.minor)

    def _before(self, line: CategoryLine | TaskLine) -> str:
        return "" if line.before_minor is None else money(self._speech(), line.before_minor)

    def _table(self, key: str, name: str, *columns: Column) -> Table:  # type: ignore[type-arg]
        say = self.context.say
        amounts = (
            Column(key="minor", title=say("Cost"), text=self._amount, numeric=True),
            Column(key="before", title=say("The time before"), text=self._before, numeric=True),
        )
        model = RowsModel((*columns, *amounts), self.context.icons)
        return Table(name, f"review-{key}", model, self.context.keeping)

    @Slot()
    def _export(self) -> None:
        if self._shown is None:
            return
        name = f"tubcare {self._year}.csv"
        chosen, _kind = QFileDialog.getSaveFileName(
            self, self.context.say("Export the review"), name, "CSV (*.csv)"
        )
        if chosen:
            self.export_to(Path(chosen))

    def export_to(self, path: Path) -> None:
        """Write the tables of the review to a file, and say so."""
        text = review_csv(self._reviewed(), self._speech().currency)
        path.write_text(text, encoding="utf-8-sig")
        self.context.strip.say(self.context.say("Written: {file}", file=str(path)))


def _read(desk: Desk, year: int | None) -> ReviewShown:
    years = tuple(c.year for c in review_periods(desk) if c.tub is None)
    return ReviewShown(
        reviewed=year_review(desk, years[0] if year is None else year),
        years=years,
        speech=speech_of(desk),
    )


def _units(minor: tuple[int, ...], unit: int) -> tuple[float, ...]:
    return tuple(value / unit for value in minor)


def _done(line: TaskLine) -> str:
    return str(line.done)


def _missed(line: TaskLine) -> str:
    return str(line.missed)
