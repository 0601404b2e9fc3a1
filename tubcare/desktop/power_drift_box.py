"""The form of the drift test: its readings, the air meanwhile, keeping and deleting it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot

from tubcare.desktop.entry import TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity
from tubcare.desktop.tub_part import EntryBox
from tubcare.services.power_drift import DriftTest
from tubcare.services.power_learning import add_drift_test, delete_drift_test
from tubcare.words.quantities import Unit, with_unit
from tubcare.words.sentences.drift_readings import (
    example_readings,
    parse_readings,
    readings_text,
)

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.energy.drift_test import DriftResult
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_AIR_C = 15.0


class DriftBox(EntryBox):
    """Asks for hours and water temperatures, and the mean air meanwhile."""

    def __init__(self, context: Context, keep: QAction, delete: QAction) -> None:
        say = context.say
        self._tub: TubId | None = None
        self._delete = delete
        self.readings = TextEntry("readings", context.voice, required=True)
        self.air = KeptQuantity("air_c", context.voice, Unit.CELSIUS, required=True)
        self.air.fill(_AIR_C)
        form = Form(context.speech)
        form.add_row(
            "readings",
            with_unit(context.speech, say("Hours and water temperature"), Unit.CELSIUS),
            self.readings,
            read=self.readings.read,
            hint=say("Such as: {example}", example=example_readings(context.speech)),
        )
        form.add_row(
            "air_c",
            with_unit(context.speech, say("Mean air meanwhile"), Unit.CELSIUS),
            self.air,
            read=self.air.quantity,
        )
        super().__init__(context, form, keep)
        self.rows.setContentsMargins(0, 0, 0, 0)
        form.submitted.connect(self.press)
        keep.triggered.connect(self.keep)
        delete.triggered.connect(self.delete)

    def show_test(self, tub: TubId, test: DriftTest | None) -> None:
        """Show the test that is kept; what is being typed stays where there is none."""
        self._tub = tub
        self._delete.setEnabled(test is not None)
        if test is not None:
            self.readings.setText(readings_text(self._context.speech, test.readings))
            self.air.fill(test.air_c)

    @Slot()
    def keep(self) -> None:
        """Keep the drift test that is typed."""
        if self._tub is None or not self.form.check():
            return
        try:
            readings = parse_readings(self._context.speech, "readings", self.readings.read())
        except ValueError as error:
            self.tell(error)
            return
        test = DriftTest(readings=readings, air_c=self.air.quantity() or 0.0)
        self.write(
            partial(add_drift_test, self._context.desk, self._tub, test),
            done=self._say_kept,
            title=self._context.say("Keeping the drift test"),
        )

    @Slot()
    def delete(self) -> None:
        """Take the drift test away."""
        if self._tub is not None:
            self.write(
                partial(delete_drift_test, self._context.desk, self._tub),
                done=self._say_deleted,
                title=self._context.say("Deleting the drift test"),
            )

    def _say_kept(self, _result: DriftResult) -> None:
        self._context.strip.say(self._context.say("Drift test kept."), undo=self._context.undo)

    def _say_deleted(self, _place: TubPlace) -> None:
        self._context.strip.say(self._context.say("Drift test deleted."), undo=self._context.undo)
