"""The running plan: the cheapest hours to come within a band of water temperatures."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QLabel, QStackedWidget, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.charts import Chart, ChartKind, ChartView, Series
from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity
from tubcare.desktop.parting import beside
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.exchange.hours_csv import hours_csv
from tubcare.services.power_hours import HoursPlan, plan_hours
from tubcare.words.dates import clock_time
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, with_unit
from tubcare.words.sentences.power import hours_plan_told

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.words.locale import Speech

_HOURS = 24
_LOW_C, _HIGH_C = 4.0, 7.0
_LEAST_BOX_LETTERS = 44


class PowerHoursPage(TubPart):
    """Asks for a band and how far ahead, and shows when to run; nothing is switched by it."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._plan: HoursPlan | None = None
        self.low = KeptQuantity("low_c", context.voice, Unit.CELSIUS, required=True)
        self.high = KeptQuantity("high_c", context.voice, Unit.CELSIUS, required=True)
        self.ahead = NumberEntry("hours", context.voice, required=True, decimals=0)
        self.low.fill(_LOW_C)
        self.high.fill(_HIGH_C)
        self.ahead.fill(_HOURS)
        form = Form(context.speech)
        for key, label, entry in (
            ("low_c", say("Water not below"), self.low),
            ("high_c", say("Water not above"), self.high),
        ):
            shown = with_unit(context.speech, label, Unit.CELSIUS)
            form.add_row(key, shown, entry, read=entry.quantity)
        form.add_row("hours", say("Hours ahead"), self.ahead, read=self.ahead.number)
        form.submitted.connect(self._submit)
        plan = self.add_page_action(say("Plan the hours"), self.plan)
        self.export = TableExport(
            self, say("Export the hours as CSV…"), name="hours", table=self._table
        )
        self.export.action.setEnabled(False)
        self.box = EntryBox(context, form, plan)
        self.box.rows.setContentsMargins(0, 0, 12, 0)
        self.told = QLabel(
            say(
                "Cold water is a store: the chiller can run while power is cheap, and rest while"
                " it is dear. Choose the temperatures that you allow."
            )
        )
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.box.rows.insertWidget(0, self.told)
        self.chart = ChartView(context, "power-hours")
        empty = EmptyState(
            say("No hours planned yet"),
            say(
                "With prices by time of day or by the hour the plan runs the chiller while power"
                " is cheap."
            ),
            plan,
        )
        self._right = QStackedWidget()
        self._right.addWidget(empty)
        self._right.addWidget(self.chart)
        splitter = beside(self.box, self._right, shares=(1, 3))
        # Room for a figure of the band with its decimals, beside its label.
        self.box.setMinimumWidth(_LEAST_BOX_LETTERS * self.fontMetrics().averageCharWidth())
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 12, 12, 10)
        rows.addWidget(splitter)

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the lower end of the band."""
        self.low.setFocus()

    @Slot()
    def plan(self) -> None:
        """Work out the cheapest hours."""
        if self.tub is None or not self.box.form.check():
            return
        self.box.write(
            partial(
                plan_hours,
                self.context.desk,
                self.tub.id,
                low_c=self.low.quantity() or 0.0,
                high_c=self.high.quantity() or 0.0,
                hours=int(self.ahead.number() or 0),
            ),
            done=self._show,
            title=self.context.say("Planning hours"),
        )

    def _table(self) -> Callable[[], str] | None:
        if self._plan is None:
            return None
        return partial(hours_csv, self._plan, self.context.speech.currency)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.plan()

    def _show(self, plan: HoursPlan) -> None:
        self._plan = plan
        told = hours_plan_told(
            self.context.speech,
            start_c=plan.start_c,
            run_h=plan.run_h,
            cost=plan.cost,
            saving=plan.saving,
            leaves_band_h=plan.leaves_band_h,
        )
        self.told.setText(" ".join(told))
        self.chart.show_chart(_chart(self.context.speech, plan))
        self._right.setCurrentWidget(self.chart)
        self.export.action.setEnabled(True)


def _chart(speech: Speech, plan: HoursPlan) -> Chart:
    return Chart(
        kind=ChartKind.BARS,
        title=speech.say("When to run the chiller"),
        told="",
        labels=tuple(clock_time(speech, hour.begins) for hour in plan.hours),
        series=(
            Series(
                name=speech.say("Share of the hour"),
                values=tuple(hour.run_share * 100.0 for hour in plan.hours),
            ),
        ),
        figure=_Percent(speech),
        labels_title=speech.say("Hour from"),
        most=100.0,
    )


class _Percent:
    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def __call__(self, value: float) -> str:
        return percent(self._speech, value / 100.0)
