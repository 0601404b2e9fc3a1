"""Frost at a tub: the dates, the night without power, the choices, and the chart by date."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QLabel, QStackedWidget, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.charts import ChartView
from tubcare.desktop.parting import beside
from tubcare.desktop.power_files import FileBox
from tubcare.desktop.power_frost_chart import frost_chart
from tubcare.desktop.power_frost_file import MinimaReader
from tubcare.desktop.power_frost_forms import ChoicesBox, NightBox, TypedBox
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.tall_page import TallPage
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import TubPart
from tubcare.exchange.frost_csv import frost_csv
from tubcare.services.frost import Frost, FrostSource, frost
from tubcare.services.frost_record import frost_record
from tubcare.services.frost_tonight import USUAL_NIGHT_C, Tonight, if_power_fails_tonight
from tubcare.words.sentences.frost import (
    date_or_never,
    date_range_told,
    meaning_of_dates,
    rests_on,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.frost import PlannedDate
    from tubcare.values import TubId


_FIRST_PX = (440, 570)


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostShown:
    """What the page shows of a tub."""

    frost: Frost
    night: Tonight


class PowerFrostPage(TubPart):
    """Dates and choices on the left, the chart by date on the right."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._shown: FrostShown | None = None
        self.dates = QLabel()
        self.dates.setTextFormat(Qt.TextFormat.PlainText)
        self.dates.setWordWrap(True)
        self.rests = worded(QLabel(), "muted")
        self.rests.setWordWrap(True)
        choose = self.add_page_action(say("Import daily minima…"), icon="add")
        self.files = FileBox(context, MinimaReader(context, self), choose=choose, takes="lowest")
        self.night = NightBox(context, self.add_page_action(say("Work the night out")))
        self.choices = ChoicesBox(context, self.add_page_action(say("Keep these choices")))
        self.typed = TypedBox(context, self.add_page_action(say("Keep these dates")))
        self.export = TableExport(
            self, say("Export frost as CSV…"), name="frost", table=self._table
        )
        self.chart = ChartView(context, "frost")
        self._right = QStackedWidget()
        self._right.addWidget(
            EmptyState(
                say("No winters on record yet"),
                say(
                    "Import the lowest temperature of each day, 15 years or more, from a station"
                    " nearby. Or write down two dates that you know."
                ),
                choose,
            )
        )
        self._right.addWidget(self.chart)
        left = TallPage()
        for title, *parts in (
            (say("Frost dates"), self.dates, self.rests, self.files),
            (say("If the power fails tonight"), self.night),
            (say("What you choose"), self.choices),
            (say("Dates that you know"), self.typed),
        ):
            left.rows.addWidget(worded(QLabel(title), "group"))
            for part in parts:
                left.rows.addWidget(part)
        left.rows.addStretch(1)
        self._left = left
        splitter = beside(left, self._right, shares=(2, 3), first_px=_FIRST_PX)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 10, 0, 0)
        rows.addWidget(splitter)
        self.export.action.setEnabled(False)
        self.night.wanted.connect(self._ask_night)

    @override
    def read(self) -> None:
        """Read the frost dates, and the night at the air temperature that is typed."""
        if self.tub is None:
            return
        self.context.work.on_logbook(
            partial(_read, self.context.desk, self.tub.id, self.night.air_c(USUAL_NIGHT_C)),
            done=self._show,
            title=self.context.say("Reading frost"),
            replaces="power frost",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the night's air temperature."""
        self.night.air.setFocus()

    def _table(self) -> Callable[[], str] | None:
        if self._shown is None:
            return None
        tub = self._shown.frost.tub.id
        return partial(_frost_table, self.context.desk, tub, self._shown.night)

    @Slot(object)
    def _ask_night(self, _nothing: object) -> None:
        self.read()

    def _show(self, shown: FrostShown) -> None:
        self._shown = shown
        found = shown.frost
        self.dates.setText("\n".join(self._dates_told(found)))
        self.rests.setText(" ".join(self._rests_told(found)))
        self.rests.setVisible(bool(self.rests.text()))
        self.night.show_night(shown.night)
        self.choices.show_frost(found)
        self.typed.show_frost(found)
        self.export.action.setEnabled(True)
        has_chart = bool(found.chances)
        self._right.setCurrentIndex(1 if has_chart else 0)
        if has_chart:
            self.chart.show_chart(frost_chart(self.context.speech, found))
        self._left.keep_width()
        self._left.fit()

    def _dates_told(self, found: Frost) -> list[str]:
        say = self.context.say
        if found.watch_from is None or found.dry_by is None:
            return [say("None are known yet for this tub.")]
        told = [
            self._date(say("Watch from"), found.watch_from),
            self._date(say("Dry by"), found.dry_by),
        ]
        if found.watch_until is not None:
            told.append(self._date(say("Watch until"), found.watch_until))
        if found.watching:
            told.append(say("The tub holds water now: a stopped pump must not go unnoticed."))
        return told

    def _date(self, name: str, planned: PlannedDate) -> str:
        speech = self.context.speech
        day = date_or_never(speech, planned.on)
        between = date_range_told(speech, planned.earliest, planned.latest)
        if not between:
            return speech.say("{name}: {day}", name=name, day=day)
        return speech.say("{name}: {day} ({range})", name=name, day=day, range=between)

    def _rests_told(self, found: Frost) -> list[str]:
        speech = self.context.speech
        if found.watch_from is None or found.dry_by is None:
            return []
        if found.source is FrostSource.TYPED:
            return [rests_on(speech, None, 0)]
        watch, dry = meaning_of_dates(speech, found.choices)
        choices = found.choices
        return [
            watch,
            rests_on(speech, found.watch_from.rests_on, choices.watch_risk_percent),
            dry,
            rests_on(speech, found.dry_by.rests_on, choices.dry_risk_percent),
        ]


def _read(desk: Desk, tub: TubId, air_c: float) -> FrostShown:
    return FrostShown(frost=frost(desk, tub), night=if_power_fails_tonight(desk, tub, air_c=air_c))


def _frost_table(desk: Desk, tub: TubId, night: Tonight) -> str:
    return frost_csv(frost_record(desk, tub), night)
