"""The guide to learning from the meter: what it tells, the drift test, and the check on it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.power_drift_box import DriftBox
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import TubPart
from tubcare.energy.calibration_result import Calibration
from tubcare.exchange.learning_csv import learning_csv
from tubcare.services.power_learning import Learning, forget_learning, keep_learning, learning
from tubcare.words.dates import medium_date
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.learning import (
    back_test_told,
    drift_told,
    found_told,
    goes_by_told,
    spans_told,
    steps_of_drift_test,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tall_page import TallPage
    from tubcare.energy.back_test import WeekCheck
    from tubcare.services.measures import TubPlace

_LEAST_TABLE_PX = 150


class PowerLearnPage(TubPart):
    """Says what the readings tell or what would help, step by step; nothing is used unasked."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._found: Learning | None = None
        self.told, self.checked, self.drift_told = (QLabel() for _ in range(3))
        for label in (self.told, self.checked, self.drift_told):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        columns = (
            Column(key="week", title=say("Week from"), text=self._week),
            Column(key="metered", title=say("Metered"), text=self._metered, numeric=True),
            Column(key="foretold", title=say("Foretold"), text=self._foretold, numeric=True),
            Column(key="range", title=say("Range"), text=self._range, stretch=True),
        )
        self.model = RowsModel(columns, context.icons)
        self.table = Table(say("Held-out weeks"), "power-weeks", self.model, context.keeping)
        self.table.setMinimumHeight(_LEAST_TABLE_PX)
        self.use_action = self.add_page_action(say("Use what was learned"), self.use, icon="tick")
        self.forget_action = self.add_page_action(say("Stop going by the meter"), self.forget)
        keep = self.add_page_action(say("Keep the drift test"))
        self.delete_action = self.add_page_action(say("Delete the drift test"))
        self.export = TableExport(
            self, say("Export what was learned as CSV…"), name="learned", table=self._table
        )
        self.drift = DriftBox(context, keep, self.delete_action)
        self._page = self.add_tall_page()
        self._lay_out(self._page, context)

    @override
    def read(self) -> None:
        """Work out what the readings tell."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(learning, self.context.desk, self.tub.id),
                done=self._show,
                title=self.context.say("Learning from the meter"),
                replaces="power learning",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the readings of the drift test."""
        self.drift.readings.setFocus()

    @Slot()
    def use(self) -> None:
        """Use what was learned from now on; the ledger's estimates follow."""
        if self.tub is not None:
            self.drift.write(
                partial(keep_learning, self.context.desk, self.tub.id),
                done=self._say_used,
                title=self.context.say("Keeping what was learned"),
            )

    @Slot()
    def forget(self) -> None:
        """Stop going by the meter: by the drift test or the description again."""
        if self.tub is not None:
            self.drift.write(
                partial(forget_learning, self.context.desk, self.tub.id),
                done=self._say_forgotten,
                title=self.context.say("Forgetting what was learned"),
            )

    def _table(self) -> Callable[[], str] | None:
        return None if self._found is None else partial(learning_csv, self._found)

    def _say(self, text: str) -> None:
        self.context.strip.say(text, undo=self.context.undo)

    def _say_used(self, _found: Learning) -> None:
        self._say(self.context.say("The model now goes by this tub's meter."))

    def _say_forgotten(self, _place: TubPlace) -> None:
        self._say(self.context.say("The model no longer goes by this tub's meter."))

    def _show(self, found: Learning) -> None:
        self._found = found
        speech = self.context.speech
        lines = list(found_told(speech, found.found, found.goes_by))
        lines.append(
            spans_told(
                speech,
                found.spans,
                disturbed=found.disturbed,
                without_weather=found.without_weather,
            )
        )
        lines.append(goes_by_told(speech, found.goes_by, found.drift))
        self.told.setText("\n".join(filter(None, lines)))
        self.checked.setText(
            "" if found.checked is None else back_test_told(speech, found.checked)
        )
        self.checked.setVisible(found.checked is not None)
        self.model.set_rows(() if found.checked is None else found.checked.weeks)
        self.table.setVisible(found.checked is not None)
        self.drift_told.setText(
            "" if found.drift is None else "\n".join(drift_told(speech, found.drift))
        )
        self.drift_told.setVisible(found.drift is not None)
        self.drift.show_test(found.tub.id, found.drift_test)
        self.use_action.setEnabled(isinstance(found.found, Calibration))
        self.forget_action.setEnabled(found.kept)
        self._page.fit()

    def _lay_out(self, page: TallPage, context: Context) -> None:
        say = context.say
        steps = QLabel(
            "\n".join(
                f"{n}. {text}" for n, text in enumerate(steps_of_drift_test(context.speech), 1)
            )
        )
        steps.setWordWrap(True)
        page.rows.addWidget(worded(QLabel(say("What the meter tells")), "group"))
        page.rows.addWidget(self.told)
        page.rows.addLayout(_buttons(self.use_action, self.forget_action))
        page.rows.addWidget(self.checked)
        page.rows.addWidget(self.table)
        page.rows.addWidget(worded(QLabel(say("Drift test")), "group"))
        page.rows.addWidget(steps)
        page.rows.addWidget(self.drift_told)
        page.rows.addWidget(self.drift)
        page.rows.addLayout(_buttons(self.delete_action))
        page.rows.addStretch(1)

    def _week(self, week: WeekCheck) -> str:
        return medium_date(self.context.speech, week.first.first.date())

    def _metered(self, week: WeekCheck) -> str:
        return quantity(self.context.speech, week.metered_kwh, Unit.KILOWATT_HOUR)

    def _foretold(self, week: WeekCheck) -> str:
        return quantity(self.context.speech, week.foretold_kwh, Unit.KILOWATT_HOUR)

    def _range(self, week: WeekCheck) -> str:
        speech = self.context.speech
        low, high = (
            quantity(speech, end, Unit.KILOWATT_HOUR) for end in (week.low_kwh, week.high_kwh)
        )
        told = speech.say("{low} to {high}", low=low, high=high)
        if week.within:
            return told
        return speech.say("{range}, outside it", range=told)


def _buttons(*actions: QAction) -> QHBoxLayout:
    row = QHBoxLayout()
    for action in actions:
        row.addWidget(ActionButton(action))
    row.addStretch()
    return row
