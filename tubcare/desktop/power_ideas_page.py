"""What would lower the cost: ideas side by side, worked out beside the window."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.parting import below
from tubcare.desktop.power_ideas_form import IdeaForm
from tubcare.desktop.power_missing import Missing
from tubcare.desktop.screen import focus_first
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.desktop.work import Fault
from tubcare.errors import InputError, OutOfRangeError, TubcareError
from tubcare.exchange.ideas_csv import ideas_csv
from tubcare.services.power_what_if import Compared, WhatIf, compare_ideas, what_if
from tubcare.words.dates import date_range
from tubcare.words.money import money
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.what_if import (
    idea_told,
    pay_back_told,
    remarks_told,
    saving_told,
    season_cost_told,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.energy.ideas import Idea
    from tubcare.services.tubs import Tub

_MARK = "compare ideas"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Done:
    asked: WhatIf
    rows: tuple[Compared, ...]


class PowerIdeasPage(TubPart):
    """The table of ideas, and below it the form for one more; nothing of it is stored."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._asked: WhatIf | None = None
        self._ideas: tuple[Idea, ...] | None = None
        self.told = QLabel()
        self.told.setWordWrap(True)
        columns = (
            Column(key="idea", title=say("Idea"), text=self._idea, stretch=True),
            Column(key="kwh", title=say("Energy"), text=self._kwh, numeric=True),
            Column(key="cost", title=say("Cost a season"), text=self._cost, numeric=True),
            Column(key="saves", title=say("Saves"), text=self._saves, numeric=True),
            Column(key="price", title=say("Price of it"), text=self._price, numeric=True),
            Column(key="back", title=say("Pays back in"), text=self._back, numeric=True),
        )
        self.model = RowsModel(columns, context.icons)
        self.table = Table(say("Ideas side by side"), "power-ideas", self.model, context.keeping)
        self.remarks = worded(QLabel(), "muted")
        self.remarks.setWordWrap(True)
        self.form = IdeaForm(context)
        add = self.add_page_action(say("Compare this idea too"), self.add, icon="add")
        self.remove_action = self.add_page_action(
            say("Leave this idea out"), self.remove, keys="Del"
        )
        self.export = TableExport(
            self, say("Export the ideas as CSV…"), name="ideas", table=self._table
        )
        self.box = EntryBox(context, self.form, add)
        self.box.rows.setContentsMargins(0, 0, 0, 0)
        self.form.submitted.connect(self._submit)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 12, 12, 10)
        rows.addWidget(self.told)
        self.missing = Missing(context, self, self._body())
        rows.addWidget(self.missing, 1)

    @override
    def show_tub(self, tub: Tub) -> None:
        """Show this tub; another tub begins with its own ideas."""
        if self.tub is None or self.tub.id != tub.id:
            self._ideas = None
        super().show_tub(tub)

    @override
    def read(self) -> None:
        """Read the tub's season, and compare the ideas on it."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(what_if, self.context.desk, self.tub.id),
                done=self._take,
                failed=self._tell,
                title=self.context.say("Reading the season"),
                replaces="power what if",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the table, or to what adds what is missing."""
        if self.table.isVisible():
            self.table.setFocus()
        else:
            focus_first(self.missing)

    @Slot()
    def add(self) -> None:
        """Compare one more idea."""
        if self._asked is None or not self.form.check():
            return
        try:
            idea = self.form.idea()
        except (InputError, OutOfRangeError) as error:
            self.box.tell(error)
            return
        # The same change typed again takes the place of the one before: it may have a price now.
        others = [each for each in self._ideas or () if not _same_change(each, idea)]
        self.compare((*others, idea))

    @Slot()
    def remove(self) -> None:
        """Leave the chosen idea out."""
        row = self.table.current_row
        if row is not None and row.idea is not None and self._ideas:
            self.compare(tuple(each for each in self._ideas if each is not row.idea))

    def _table(self) -> Callable[[], str]:
        speech = self.context.speech
        names = [idea_told(speech, row.idea) for row in self.model.rows]
        return partial(ideas_csv, tuple(self.model.rows), names, speech.currency)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.add()

    def _take(self, asked: WhatIf) -> None:
        self._asked = asked
        self.form.offer(asked.start.catalogue)
        self.compare(asked.ideas if self._ideas is None else self._ideas)

    def compare(self, ideas: tuple[Idea, ...]) -> None:
        """Compare these ideas, beside the window; they take the place of those that are shown."""
        if self._asked is None:
            return
        self.box.clear_told()
        self.context.work.elsewhere(
            partial(_compared, self._asked, ideas),
            done=self._show,
            failed=self._tell,
            title=self.context.say("Comparing ideas"),
            replaces=_MARK,
        )

    def _show(self, done: _Done) -> None:
        ideas = tuple(row.idea for row in done.rows if row.idea is not None)
        before, self._ideas = self._ideas, ideas
        speech, base = self.context.speech, done.asked.base
        self.told.setText(
            speech.say(
                "One season, {period}, with typical weather. Savings are against the tub as it"
                " is.",
                period=date_range(speech, base.first, base.last),
            )
        )
        self.model.set_rows(done.rows)
        if before is not None and len(ideas) > len(before):
            self.table.scrollToBottom()
        remarks = remarks_told(speech, [(row.idea, row.outcome) for row in done.rows])
        self.remarks.setText("\n".join(remarks))
        self.remarks.setVisible(bool(remarks))
        self.missing.show_missing("")
        self._enable(on=True)

    def _tell(self, error: BaseException) -> None:
        if not isinstance(error, TubcareError):
            title = self.context.say("Comparing ideas")
            self.context.work.faulted.emit(Fault(title=title, error=error))
            return
        if self.model.rows and self._asked is not None:
            self.box.tell(error)
            return
        field = error.field if isinstance(error, InputError) else ""
        known = self.missing.show_missing("typical" if field == "weather" else field)
        told = () if known else trouble(self.context.speech, error).lines
        self.told.setText(" ".join(told))
        self._enable(on=False)

    def _enable(self, *, on: bool) -> None:
        for widget in (self.table, self.box):
            widget.setVisible(on)
        self.export.action.setEnabled(on)
        self.remove_action.setEnabled(on)

    def _body(self) -> QWidget:
        upper = QWidget()
        above = QVBoxLayout(upper)
        above.setContentsMargins(0, 0, 0, 0)
        above.addWidget(self.table, 1)
        above.addWidget(self.remarks)
        return below(upper, self.box, shares=(3, 0))

    def _idea(self, row: Compared) -> str:
        return idea_told(self.context.speech, row.idea)

    def _kwh(self, row: Compared) -> str:
        return quantity(self.context.speech, row.outcome.kwh, Unit.KILOWATT_HOUR, 0)

    def _cost(self, row: Compared) -> str:
        return season_cost_told(self.context.speech, row.outcome)

    def _saves(self, row: Compared) -> str:
        if row.idea is None:
            return ""
        return saving_told(self.context.speech, row.outcome)

    def _price(self, row: Compared) -> str:
        if row.idea is None or row.idea.price_minor is None:
            return ""
        return money(self.context.speech, row.idea.price_minor)

    def _back(self, row: Compared) -> str:
        return pay_back_told(self.context.speech, row.outcome)


def _same_change(one: Idea, other: Idea) -> bool:
    return replace(one, price_minor=None) == replace(other, price_minor=None)


def _compared(asked: WhatIf, ideas: tuple[Idea, ...], ticket: Ticket) -> _Done:
    """Compare ideas in a thread of its own; stopping ends it before the next idea."""
    rows = []
    for row in compare_ideas(asked, ideas, should_stop=lambda: ticket.stopped):
        rows.append(row)
        ticket.report(len(rows) / (len(ideas) + 1))
    return _Done(asked=asked, rows=tuple(rows))
