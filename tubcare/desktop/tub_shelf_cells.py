"""What the columns of the shelf show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.marks import Mark
from tubcare.desktop.table import Column
from tubcare.words.dates import medium_date
from tubcare.words.money import money
from tubcare.words.sentences.shelf import supply_amount

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.shelf import ShelfLine
    from tubcare.services.supplies import Supply

SOON_DAYS = 28
_LOW = Mark("late", "late")


class ShelfCells:
    """Tells a line of the shelf as of `today`."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.today = context.desk.today("UTC")

    def columns(self) -> tuple[Column[ShelfLine], ...]:
        """Return the columns in the order shown."""
        say = self.context.say
        return (
            Column(key="name", title=say("Supply"), text=_name, sort=_name),
            Column(
                key="stock",
                title=say("On the shelf"),
                text=self._stock,
                sort=_stock_key,
                numeric=True,
            ),
            Column(key="value", title=say("Worth"), text=self._value, sort=_value, numeric=True),
            Column(
                key="lasts", title=say("Lasts to"), text=self._lasts, mark=self._mark, sort=_short
            ),
            Column(key="keeps", title=say("Keeps until"), text=self._keeps, mark=self._old),
            Column(key="task", title=say("Then short for"), text=_task, stretch=True),
            Column(key="buy", title=say("To buy for a year"), text=self._missing, numeric=True),
        )

    def _stock(self, line: ShelfLine) -> str:
        return self._amount(line.supply, line.supply.quantity_milli)

    def _value(self, line: ShelfLine) -> str:
        return money(self.context.speech, line.supply.value_minor)

    def _lasts(self, line: ShelfLine) -> str:
        say = self.context.say
        if line.short_on is None:
            told = say("no use planned") if not line.needed_milli else say("a year or more")
        elif line.supply.quantity_milli < 0:
            told = say("more used than bought")
        elif line.short_on <= self.today:
            told = say("too little now")
        else:
            told = medium_date(self.context.speech, line.lasts_to)
        return say("{when}; below your mark", when=told) if line.supply.is_low else told

    def _mark(self, line: ShelfLine) -> Mark | None:
        soon = line.short_on is not None and (line.short_on - self.today).days <= SOON_DAYS
        return _LOW if soon or line.supply.is_low else None

    def _missing(self, line: ShelfLine) -> str:
        if not line.missing_milli:
            return ""
        return self._amount(line.supply, line.missing_milli)

    def _keeps(self, line: ShelfLine) -> str:
        if line.keeps_until is None:
            return ""
        day = medium_date(self.context.speech, line.keeps_until)
        return self.context.say("{day}; look at it", day=day) if self._is_old(line) else day

    def _old(self, line: ShelfLine) -> Mark | None:
        return _LOW if self._is_old(line) else None

    def _is_old(self, line: ShelfLine) -> bool:
        return line.keeps_until is not None and line.keeps_until < self.today

    def _amount(self, supply: Supply, quantity_milli: int) -> str:
        return supply_amount(self.context.speech, quantity_milli, supply.unit)


def line_id(line: ShelfLine) -> int:
    """Return what makes a line the same line after a refresh."""
    return line.supply.id


def _name(line: ShelfLine) -> str:
    return line.supply.name


def _stock_key(line: ShelfLine) -> int:
    return line.supply.quantity_milli


def _value(line: ShelfLine) -> int:
    return line.supply.value_minor


def _short(line: ShelfLine) -> str:
    return "9" if line.short_on is None else line.short_on.isoformat()


def _task(line: ShelfLine) -> str:
    return line.short_for
