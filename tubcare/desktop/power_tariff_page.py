"""The tariff editor: flat, by time of use or by the hour, standing charge and tax."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.power_tariff_form import TariffForm
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.energy.price_text import HourlyPrices, PricePer
from tubcare.energy.tariff_plan import TariffPlan
from tubcare.exchange.tariff_csv import tariff_csv
from tubcare.services.power_tariff import (
    change_tariff,
    prices_from_file,
    tariff_of,
)
from tubcare.words.dates import medium_date

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId


class PowerTariffPage(TubPart):
    """One form; the fields of the other kinds stay, so that switching loses nothing."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._plan = TariffPlan()
        self._hourly: HourlyPrices | None = None
        self._file = Path()
        keep = self.add_page_action(say("Keep this tariff"), self.keep)
        choose = self.add_page_action(say("Read hourly prices…"), self.choose, icon="add")
        self.export = TableExport(
            self, say("Export the tariff as CSV…"), name="tariff", table=self._table
        )
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.form = TariffForm(context)
        self.box = EntryBox(context, self.form, keep)
        self.box.rows.setContentsMargins(0, 0, 0, 0)
        self.form.submitted.connect(self._submit)
        row = QHBoxLayout()
        row.addWidget(ActionButton(choose))
        row.addStretch()
        self._page = page = self.add_tall_page()
        page.rows.addWidget(worded(QLabel(say("Tariff")), "group"))
        page.rows.addWidget(self.told)
        page.rows.addWidget(self.box)
        page.rows.addLayout(row)
        page.rows.addStretch(1)

    @override
    def read(self) -> None:
        """Read the tariff of the tub."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(tariff_of, self.context.desk, self.tub.id),
                done=self._show,
                title=self.context.say("Reading the tariff"),
                replaces="power tariff",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the kind of price."""
        self.form.kind.setFocus()

    @Slot()
    def choose(self) -> None:
        """Ask for a file with hourly prices, and read it."""
        name, _kind = QFileDialog.getOpenFileName(
            self, self.context.say("Choose a file"), "", "CSV (*.csv *.txt);;* (*)"
        )
        if name:
            self.open(Path(name))

    def open(self, path: Path) -> None:
        """Read hourly prices; they are kept with the tariff, not before."""
        if self.tub is None:
            return
        self._file = path
        per = self.form.per.currentData()
        self.box.write(
            partial(
                _prices,
                self.context.desk,
                self.tub.id,
                path,
                per=None if per is None else PricePer(per),
                in_utc=bool(self.form.clock.currentData()),
            ),
            done=self._take_prices,
            title=self.context.say("Reading prices"),
        )

    @Slot()
    def keep(self) -> None:
        """Keep what is typed; the ledger's estimates follow, metered charges stay."""
        if self.tub is None or not self.box.form.check():
            return
        try:
            plan = self.form.typed(self._plan, self._hourly)
        except ValueError as error:
            self.box.tell(error)
            return
        self.box.write(
            partial(change_tariff, self.context.desk, self.tub.id, plan),
            done=self._say_kept,
            title=self.context.say("Keeping the tariff"),
        )

    def _table(self) -> Callable[[], str] | None:
        if self.tub is None:
            return None
        code = self.context.speech.currency.code
        return partial(tariff_csv, self._plan, code, self.tub.profile.zone)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    def _take_prices(self, prices: HourlyPrices) -> None:
        self._hourly = prices
        self.form.choose_hourly()
        self.told.setText(" ".join([self._file.name, self._hours_told(prices), self._not_kept()]))

    def _not_kept(self) -> str:
        return self.context.say("Not kept yet: press “Keep this tariff”.")

    def _hours_told(self, prices: HourlyPrices) -> str:
        speech = self.context.speech
        told = speech.say_count(
            "{n} hour from {day} on.",
            "{n} hours from {day} on.",
            len(prices.prices),
            day=medium_date(speech, prices.start.date()),
        )
        if not prices.missing:
            return told
        missing = speech.say_count(
            "{n} hour has no price.", "{n} hours have no price.", prices.missing
        )
        return f"{told} {missing}"

    def _say_kept(self, _place: TubPlace) -> None:
        self.context.strip.say(self.context.say("Tariff kept."), undo=self.context.undo)

    def _show(self, plan: TariffPlan) -> None:
        self._plan, self._hourly = plan, plan.hourly
        speech = self.context.speech
        self.form.fill(plan)
        told = [
            speech.say(
                "In {currency}; tax is added to prices and standing charge.",
                currency=speech.currency.code,
            )
        ]
        if plan.price is None and plan.hourly is None:
            told.append(speech.say("No price is known yet."))
        if plan.hourly is not None:
            told.append(self._hours_told(plan.hourly))
        self.told.setText(" ".join(told))
        self._page.fit()


def _prices(
    desk: Desk, tub: TubId, path: Path, *, per: PricePer | None, in_utc: bool
) -> HourlyPrices:
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    return prices_from_file(desk, tub, text, per=per, in_utc=in_utc)
