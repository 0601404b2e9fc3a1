"""What the cold costs: this month and season, model against meter, and cost by month."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QTabWidget, QWidget
from typing_extensions import override

from tubcare.desktop.charts import ChartView
from tubcare.desktop.power_charts import cost_chart, model_chart
from tubcare.desktop.power_missing import Missing
from tubcare.desktop.screen import focus_first
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import TubPart
from tubcare.exchange.power_csv import power_csv
from tubcare.services.power import Power, power
from tubcare.words.dates import month_and_year
from tubcare.words.sentences.power import (
    cost_and_standing_told,
    kwh_told,
    metered_told,
    no_chiller_told,
    ran_told,
    rests_on_told,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.power_spans import PowerSpan
    from tubcare.values import TubId
    from tubcare.words.locale import Speech


_LEAST_CHARTS_PX = 380


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerShown:
    """A tub's power, and the words to show it in."""

    power: Power
    speech: Speech


class PowerNowPage(TubPart):
    """Says what this month and this season drew and cost, with the charts and a table below."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._shown: PowerShown | None = None
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.rests = worded(QLabel(), "muted")
        self.rests.setWordWrap(True)
        self._cells: dict[tuple[int, int], QLabel] = {}
        self.chart = ChartView(context, "power-model")
        self.costs = ChartView(context, "power-cost")
        columns = (
            Column(key="month", title=say("Month"), text=self._month, sort=_first),
            Column(key="metered", title=say("Metered"), text=self._metered, stretch=True),
            Column(key="modelled", title=say("Modelled"), text=self._modelled, numeric=True),
            Column(key="hours", title=say("Chiller ran"), text=self._hours, numeric=True),
            Column(key="filled", title=say("Meter and model"), text=self._filled, numeric=True),
            Column(key="cost", title=say("Cost"), text=self._cost, numeric=True),
        )
        self.model = RowsModel(columns, context.icons, identity=_first)
        self.table = Table(say("Power by month"), "power-months", self.model, context.keeping)
        tabs = QTabWidget()
        tabs.setAccessibleName(say("Charts of power"))
        tabs.addTab(self.chart, say("Model and meter"))
        tabs.addTab(self.costs, say("Cost by month"))
        tabs.addTab(self.table, say("Figures by month"))
        self.tabs = tabs
        self.page = self.add_tall_page()
        rows = self.page.rows
        rows.addWidget(self._sums())
        rows.addWidget(self.told)
        rows.addWidget(self.rests)
        self.missing = Missing(context, self, tabs)
        # It takes what room there is, and scrolls where there is less than this.
        self.missing.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.missing.setMinimumHeight(_LEAST_CHARTS_PX)
        rows.addWidget(self.missing, 1)
        self.export = TableExport(
            self, say("Export power as CSV…"), name="power", table=self._table
        )

    @override
    def read(self) -> None:
        """Read what the tub drew."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(_read, self.context.desk, self.context.speech, self.tub.id),
                done=self._show,
                title=self.context.say("Reading power"),
                replaces="power now",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the charts, or to what adds what is missing."""
        if self.missing.currentWidget() is self.tabs:
            self.tabs.tabBar().setFocus()
        else:
            focus_first(self.missing)

    def _table(self) -> Callable[[], str] | None:
        shown = self._shown
        return None if shown is None else partial(power_csv, shown.power, shown.speech.currency)

    def _show(self, shown: PowerShown) -> None:
        self._shown = shown
        found, speech = shown.power, shown.speech
        for row, span in enumerate((found.month, found.season)):
            for column, text in enumerate(self._span_told(span)):
                self._cells[row, column].setText(text)
        self.missing.show_missing(_nothing_to_show(found))
        self.told.setText(" ".join(_missing(speech, found)))
        self.told.setVisible(bool(self.told.text()))
        self.rests.setText(
            rests_on_told(
                speech,
                goes_by=found.site.learned.basis,
                typical_share=found.typical_share,
                missing_price_hours=found.missing_price_hours,
            )
        )
        self.rests.setVisible(found.has_weather and found.season is not None)
        self.chart.show_chart(model_chart(speech, found))
        self.costs.show_chart(cost_chart(speech, found))
        self.model.set_rows(found.months)
        self.export.action.setEnabled(found.season is not None)

    def _span_told(self, span: PowerSpan | None) -> tuple[str, str, str, str]:
        speech = self._speech()
        if span is None:
            return ("", "", "", speech.say("nothing ran"))
        return (
            metered_told(speech, span.metered_kwh, span.metered_days, span.running_days),
            "" if span.modelled is None else kwh_told(speech, span.modelled.kwh),
            "" if span.filled_kwh is None else kwh_told(speech, span.filled_kwh),
            cost_and_standing_told(
                speech,
                span.filled_minor,
                span.standing_minor,
                unpriced_days=span.unpriced_days,
            ),
        )

    def _sums(self) -> QWidget:
        say = self.context.say
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(24)
        titles = (say("Metered"), say("Modelled"), say("Meter and model"), say("Cost"))
        for column, title in enumerate(titles):
            grid.addWidget(worded(QLabel(title), "muted"), 0, column + 1)
            grid.setColumnStretch(column + 1, 1)
        for row, name in enumerate((say("This month"), say("This season"))):
            grid.addWidget(worded(QLabel(name), "strong"), row + 1, 0)
            for column, title in enumerate(titles):
                cell = QLabel()
                cell.setTextFormat(Qt.TextFormat.PlainText)
                cell.setWordWrap(True)
                cell.setAccessibleName(say("{what}, {when}", what=title, when=name))
                if column == len(titles) - 1:
                    worded(cell, "strong")
                self._cells[row, column] = cell
                grid.addWidget(cell, row + 1, column + 1)
        return holder

    def _month(self, span: PowerSpan) -> str:
        return month_and_year(self._speech(), span.first)

    def _metered(self, span: PowerSpan) -> str:
        return metered_told(self._speech(), span.metered_kwh, span.metered_days, span.running_days)

    def _modelled(self, span: PowerSpan) -> str:
        return "" if span.modelled is None else kwh_told(self._speech(), span.modelled.kwh)

    def _hours(self, span: PowerSpan) -> str:
        if span.modelled is None:
            return ""
        return ran_told(self._speech(), span.modelled.run_h, span.modelled.starts)

    def _filled(self, span: PowerSpan) -> str:
        return "" if span.filled_kwh is None else kwh_told(self._speech(), span.filled_kwh)

    def _cost(self, span: PowerSpan) -> str:
        return cost_and_standing_told(
            self._speech(), span.filled_minor, unpriced_days=span.unpriced_days
        )

    def _speech(self) -> Speech:
        return self.context.speech if self._shown is None else self._shown.speech


def _nothing_to_show(found: Power) -> str:
    """Return what is missing for there to be any figure, "" when there is one."""
    if found.season is None:
        return "opening"
    if any(month.metered_kwh is not None or month.modelled is not None for month in found.months):
        return ""
    return "weather"


def _missing(speech: Speech, found: Power) -> list[str]:
    told = []
    if found.season is None:
        told.append(
            speech.say("This tub was never opened on record, so no season can be told yet.")
        )
    if not found.has_weather:
        told.append(
            speech.say(
                "Nothing can be modelled without weather: import a file or type twelve monthly"
                " means on the page Weather."
            )
        )
    if not found.has_price:
        told.append(speech.say("No price of power is known; set it on the page Tariff."))
    described = found.site.build.described
    if found.season is not None:
        told.append(
            no_chiller_told(speech, cooling_w=described.cooling_w, pump_w=described.pump_w)
        )
    return [each for each in told if each]


def _read(desk: Desk, speech: Speech, tub: TubId) -> PowerShown:
    return PowerShown(power=power(desk, tub), speech=speech_of(desk, speech))


def _first(span: PowerSpan) -> str:
    return span.first.isoformat()
