"""Weather for the model: a file, or twelve monthly means."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QLabel
from typing_extensions import override

from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity
from tubcare.desktop.power_files import FileBox
from tubcare.desktop.power_weather_file import WeatherReader
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.exchange.weather_csv import weather_csv
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.power_weather_known import (
    KnownWeather,
    known_weather,
    monthly_means,
    weather_series,
)
from tubcare.words.dates import month_name
from tubcare.words.quantities import Unit, quantity, with_unit
from tubcare.words.sentences.weather_files import (
    measured_told,
    no_weather_told,
    typical_told,
    without_sun_told,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_SWING_K = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherShown:
    """What is known about the weather at a tub, and the means that were typed."""

    known: KnownWeather
    means: MonthlyMeans | None


class PowerWeatherPage(TubPart):
    """Shows which weather the model uses, and takes other weather over."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.told = QLabel()
        self.told.setWordWrap(True)
        choose = self.add_page_action(say("Import weather…"), icon="add")
        self.files = FileBox(context, WeatherReader(context, self), choose=choose, takes="air")
        self.export = TableExport(
            self, say("Export the weather as CSV…"), name="weather", table=self._table
        )
        form = Form(context.speech)
        self.months: list[KeptQuantity] = []
        for number in range(1, 13):
            entry = KeptQuantity(f"month_{number}", context.voice, Unit.CELSIUS, required=True)
            self.months.append(entry)
            form.add_row(
                f"month_{number}", month_name(context.speech, number), entry, read=entry.quantity
            )
        self.swing = KeptQuantity("swing_k", context.voice, Unit.KELVIN, required=True)
        self.swing.fill(_SWING_K)
        form.add_row(
            "swing_k",
            with_unit(context.speech, say("Half the daily range"), Unit.KELVIN),
            self.swing,
            read=self.swing.quantity,
            hint=say(
                "From the mean to the warmest hour of a usual day: about {swing}.",
                swing=quantity(context.speech, _SWING_K, Unit.KELVIN),
            ),
        )
        keep = self.add_page_action(say("Keep the monthly means"), self.keep)
        self.box = EntryBox(context, form, keep)
        self.box.rows.setContentsMargins(0, 0, 0, 0)
        form.submitted.connect(self._submit)
        self._page = page = self.add_tall_page()
        note = worded(
            QLabel(
                say(
                    "Mean air temperature of each month. Days are drawn from them as straight"
                    " lines through the months, hours as a wave, and the sun as the usual share of"
                    " a clear sky at the tub's latitude. Such a year tells a season's cost, but no"
                    " frost date."
                )
            ),
            "muted",
        )
        note.setWordWrap(True)
        for widget in (
            worded(QLabel(say("Weather in use")), "group"),
            self.told,
            self.files,
            worded(
                QLabel(with_unit(context.speech, say("Twelve monthly means"), Unit.CELSIUS)),
                "group",
            ),
            note,
            self.box,
        ):
            page.rows.addWidget(widget)
        page.rows.addStretch(1)

    @override
    def read(self) -> None:
        """Read which weather is kept."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(_read, self.context.desk, self.tub.id),
                done=self._show,
                title=self.context.say("Reading the weather"),
                replaces="power weather",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the first month."""
        self.months[0].setFocus()

    @Slot()
    def keep(self) -> None:
        """Keep the twelve means; the ledger's estimates follow."""
        if self.tub is None or not self.box.form.check():
            return
        try:
            means = MonthlyMeans(
                air_c=tuple(entry.quantity() or 0.0 for entry in self.months),
                swing_k=(self.swing.quantity() or 0.0,) * 12,
                latitude_deg=self.tub.profile.latitude_deg,
            )
        except ValueError as error:
            self.box.tell(error)
            return
        self.box.write(
            partial(type_monthly_means, self.context.desk, self.tub.id, means),
            done=self._say_kept,
            title=self.context.say("Keeping the monthly means"),
        )

    def _table(self) -> Callable[[], str] | None:
        if self.tub is None:
            return None
        return partial(_weather_table, self.context.desk, self.tub.id)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    def _say_kept(self, _place: TubPlace) -> None:
        self.context.strip.say(self.context.say("Monthly means kept."), undo=self.context.undo)

    def _show(self, shown: WeatherShown) -> None:
        self.told.setText("\n".join(self._known_told(shown.known)))
        if shown.means is not None:
            for entry, value in zip(self.months, shown.means.air_c, strict=True):
                entry.fill(value)
            self.swing.fill(shown.means.swing_k[0])
        self._page.fit()

    def _known_told(self, known: KnownWeather) -> list[str]:
        speech = self.context.speech
        told = []
        if known.measured is not None:
            kept = known.measured
            told.append(measured_told(speech, kept.source, kept.first_on, kept.last_on))
        if known.typical is not None:
            told.append(typical_told(speech, known.typical.source))
        if known.without_sun:
            told.append(without_sun_told(speech))
        return told or [no_weather_told(speech)]


def _read(desk: Desk, tub: TubId) -> WeatherShown:
    return WeatherShown(known=known_weather(desk, tub), means=monthly_means(desk, tub))


def _weather_table(desk: Desk, tub: TubId) -> str:
    return weather_csv(weather_series(desk, tub))
