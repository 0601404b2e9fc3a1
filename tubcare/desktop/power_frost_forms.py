"""The forms of the frost page: the night's air, what a person chooses, two dates they know."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QLabel

from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity, MonthDayEntry
from tubcare.desktop.tub_part import EntryBox
from tubcare.energy.frost_plan import FrostChoices
from tubcare.errors import InputError
from tubcare.services.frost import choose_frost, type_frost_dates
from tubcare.services.frost_tonight import USUAL_NIGHT_C
from tubcare.values import MonthDay
from tubcare.words.quantities import Unit, quantity, with_unit
from tubcare.words.sentences.frost import freeze_told, night_water_told

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.frost import Frost
    from tubcare.services.frost_tonight import Tonight
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId


class NightBox(EntryBox):
    """Asks for tonight's air and tells how long hose, pump and tub have without power."""

    wanted = Signal(object)
    """Carries nothing (None): the night shall be worked out for the air that is typed."""

    def __init__(self, context: Context, action: QAction) -> None:
        self.air = KeptQuantity("air_c", context.voice, Unit.CELSIUS, required=True)
        self.air.fill(USUAL_NIGHT_C)
        form = Form(context.speech)
        form.add_row(
            "air_c",
            with_unit(context.speech, context.say("Air tonight"), Unit.CELSIUS),
            self.air,
            read=self.air.quantity,
        )
        super().__init__(context, form, action)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.hours = QLabel()
        self.hours.setTextFormat(Qt.TextFormat.PlainText)
        self.hours.setWordWrap(True)
        self.rows.insertWidget(0, self.hours)
        form.submitted.connect(self.wanted.emit)
        action.triggered.connect(self._work_out)

    def air_c(self, usual: float) -> float:
        """Return the air temperature that is typed, the usual one while it cannot be read."""
        try:
            found = self.air.quantity()
        except InputError:
            return usual
        return usual if found is None else found

    def show_night(self, night: Tonight) -> None:
        """Tell the hours until 0 °C."""
        speech, say = self._context.speech, self._context.say
        measured = night.measured_at is not None
        whence = night_water_told(speech, night.water_c, measured=measured, drained=night.drained)
        lines = [
            freeze_told(speech, say("Hose"), night.cut.hose),
            freeze_told(speech, say("Pump"), night.cut.pump),
            freeze_told(speech, say("Tub"), night.cut.tub),
            whence,
        ]
        self.hours.setText("\n".join(lines))

    @Slot()
    def _work_out(self) -> None:
        if self.form.check():
            self.wanted.emit(None)


class ChoicesBox(EntryBox):
    """Risks, level, site offset and lead days."""

    def __init__(self, context: Context, action: QAction) -> None:
        say, voice = context.say, context.voice
        self._tub: TubId | None = None
        self.watch_risk = NumberEntry("watch_risk_percent", voice, required=True, decimals=0)
        self.dry_risk = NumberEntry("dry_risk_percent", voice, required=True, decimals=0)
        self.level = KeptQuantity("dry_level_c", voice, Unit.CELSIUS, required=True)
        self.at_level = QComboBox()
        self.at_level.addItem(say("only below it"), False)  # noqa: FBT003  Qt's own way
        self.at_level.addItem(say("at it as well"), True)  # noqa: FBT003  as above
        self.offset = KeptQuantity("offset_c", voice, Unit.KELVIN, required=True)
        self.lead = NumberEntry("lead_days", voice, required=True, decimals=0)
        form = Form(context.speech)
        form.add_row(
            "watch_risk_percent",
            say("Risk of “watch from”, %"),
            self.watch_risk,
            read=self.watch_risk.number,
            hint=say("In so many winters of a hundred frost may come earlier."),
        )
        form.add_row(
            "dry_risk_percent",
            say("Risk of “dry by”, %"),
            self.dry_risk,
            read=self.dry_risk.number,
        )
        form.add_row(
            "dry_level_c",
            with_unit(context.speech, say("Level of “dry by”"), Unit.CELSIUS),
            self.level,
            read=self.level.quantity,
        )
        form.add_row("at_level_counts", say("A night counts"), self.at_level)
        form.add_row(
            "offset_c",
            with_unit(context.speech, say("Tub against station"), Unit.KELVIN),
            self.offset,
            read=self.offset.quantity,
            hint=say(
                "A deck or hollow is often {low} to {high} colder on clear nights: below 0.",
                low=quantity(context.speech, 1.0, Unit.KELVIN),
                high=quantity(context.speech, 3.0, Unit.KELVIN),
            ),
        )
        form.add_row("lead_days", say("Days to do the job"), self.lead, read=self.lead.number)
        super().__init__(context, form, action)
        self.rows.setContentsMargins(0, 0, 0, 0)
        action.triggered.connect(self.keep)
        form.submitted.connect(self.press)

    def show_frost(self, found: Frost) -> None:
        """Show what is chosen."""
        choices, self._tub = found.choices, found.tub.id
        self.watch_risk.fill(choices.watch_risk_percent)
        self.dry_risk.fill(choices.dry_risk_percent)
        self.level.fill(choices.dry_level_c)
        self.at_level.setCurrentIndex(int(choices.at_level_counts))
        self.offset.fill(choices.offset_c)
        self.lead.fill(choices.lead_days)

    @Slot()
    def keep(self) -> None:
        """Keep what is typed; the dates are worked out anew."""
        if self._tub is None or not self.form.check():
            return
        try:
            choices = FrostChoices(
                watch_risk_percent=int(self.watch_risk.number() or 0),
                dry_risk_percent=int(self.dry_risk.number() or 0),
                dry_level_c=self.level.quantity() or 0.0,
                at_level_counts=bool(self.at_level.currentData()),
                offset_c=self.offset.quantity() or 0.0,
                lead_days=int(self.lead.number() or 0),
            )
        except ValueError as error:
            self.tell(error)
            return
        self.write(
            partial(choose_frost, self._context.desk, self._tub, choices),
            done=self._say_kept,
            title=self._context.say("Keeping the choices"),
        )

    def _say_kept(self, _place: TubPlace) -> None:
        self._context.strip.say(self._context.say("Choices kept."), undo=self._context.undo)


class TypedBox(EntryBox):
    """Two dates that a person knows from a weather service or from living there."""

    def __init__(self, context: Context, action: QAction) -> None:
        say, voice = context.say, context.voice
        self._tub: TubId | None = None
        self.watch = MonthDayEntry("watch_from", voice)
        self.dry = MonthDayEntry("dry_by", voice)
        self.watch.fill(MonthDay(month=10, day=1))
        self.dry.fill(MonthDay(month=10, day=25))
        form = Form(context.speech)
        form.add_row("watch_from", say("Watch from"), self.watch, read=self.watch.month_day)
        form.add_row("dry_by", say("Dry by"), self.dry, read=self.dry.month_day)
        super().__init__(context, form, action)
        self.rows.setContentsMargins(0, 0, 0, 0)
        action.triggered.connect(self.keep)
        form.submitted.connect(self.press)

    def show_frost(self, found: Frost) -> None:
        """Show the dates that stand, where there are some."""
        self._tub = found.tub.id
        for entry, planned in ((self.watch, found.watch_from), (self.dry, found.dry_by)):
            if planned is not None and planned.on is not None:
                entry.fill(MonthDay(month=planned.on.month, day=planned.on.day))

    @Slot()
    def keep(self) -> None:
        """Keep both dates."""
        if self._tub is None or not self.form.check():
            return
        call = partial(
            type_frost_dates,
            self._context.desk,
            self._tub,
            watch_from=self.watch.month_day(),
            dry_by=self.dry.month_day(),
        )
        self.write(call, done=self._say_kept, title=self._context.say("Keeping the dates"))

    def _say_kept(self, _place: TubPlace) -> None:
        self._context.strip.say(self._context.say("Dates kept."), undo=self._context.undo)
