"""The fields of each kind of rule but the calendar: interval, use, season, reading, one date."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QLabel
from typing_extensions import override

from tubcare.care.condition import parse_condition
from tubcare.care.terms import Comparison, Counter, Edge, Period
from tubcare.desktop.tasks_choice import Pick
from tubcare.desktop.tasks_rule_fields import RuleFields, whole
from tubcare.errors import InputError
from tubcare.words.measures import MEASURED, measured_figure, measured_name, unit_of
from tubcare.words.quantities import parse_quantity, unit_symbol
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context

FROST = (Edge.FROST_WATCH, Edge.FROST_DRY)
BEFORE, AFTER = -1, 1


class ElapsedFields(RuleFields):
    """So long after the last time."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.every = self.number("every", say("How many"))
        self.period = Pick(
            say("Days, weeks, months or years"),
            [(period, word(context.speech, period)) for period in Period],
        )
        self.period.currentIndexChanged.connect(self.tell)
        self.put(say("every"), self.every, self.period, say("after the last time"))

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        return {
            "kind": "elapsed",
            "every": whole(self.every),
            "period": self.period.chosen().value,
        }

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show an interval."""
        self.every.setText(str(data["every"]))
        self.period.choose(Period(str(data["period"])))


class UseFields(RuleFields):
    """After so much of a counter."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.amount = self.number("amount", say("How much"), decimals=1)
        self.counter = Pick(
            say("What is counted"),
            [(counter, word(context.speech, counter)) for counter in Counter],
        )
        self.counter.currentIndexChanged.connect(self.tell)
        self.put(say("after"), self.amount, self.counter, say("since the last time"))

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        amount = self.amount.number()
        if amount is None:
            raise InputError("amount", self.context.say("write a number"))
        return {
            "kind": "use",
            "counter": self.counter.chosen().value,
            "amount": float(amount),
        }

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show an amount of use."""
        self.amount.fill(float(str(data["amount"])))
        self.counter.choose(Counter(str(data["counter"])))


class SeasonFields(RuleFields):
    """So many days before or after a turn of the season, at a risk of frost where it matters."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.days = self.number("offset_days", say("How many days"))
        self.side = Pick(
            say("Before or after"), [(BEFORE, say("days before")), (AFTER, say("days after"))]
        )
        self.edge = Pick(
            say("Turn of the season"), [(edge, word(context.speech, edge)) for edge in Edge]
        )
        self.risk = self.number("risk_percent", say("Risk of frost in percent"))
        self.risk.required = False
        self.risk.setToolTip(say("Empty: the risk that the tub's site goes by"))
        self.risk_words = QLabel(say("% risk"))
        for box in (self.side, self.edge):
            box.currentIndexChanged.connect(self._follow)
        self.put(self.days, self.side, self.edge, self.risk, self.risk_words)
        self._follow()

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        data: dict[str, object] = {
            "kind": "season",
            "edge": self.edge.chosen().value,
            "offset_days": whole(self.days) * self.side.chosen(),
        }
        if self.edge.chosen() in FROST and not self.risk.is_blank:
            data["risk_percent"] = whole(self.risk)
        return data

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show a distance from a turn of the season."""
        days = int(str(data.get("offset_days", 0)))
        self.days.setText(str(abs(days)))
        self.side.choose(AFTER if days > 0 else BEFORE)
        self.edge.choose(Edge(str(data["edge"])))
        self.risk.setText(str(data.get("risk_percent", "")))

    @Slot()
    def _follow(self) -> None:
        for part in (self.risk, self.risk_words):
            part.setVisible(self.edge.chosen() in FROST)
        self.tell()


class ReadingFields(RuleFields):
    """When a measured value asks for it."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say, speech = context.say, context.speech
        self.quantity = Pick(
            say("What is measured"), [(name, measured_name(speech, name)) for name in MEASURED]
        )
        self.comparison = Pick(
            say("How it is compared"), [(each, word(speech, each)) for each in Comparison]
        )
        self.limit = self.number("limit", say("Limit"), decimals=3)
        self.limit.required = False
        self.limit.setPlaceholderText(say("range"))
        self.limit.setToolTip(say("Empty: the range of the tub"))
        self.unit = QLabel()
        self.quantity.currentIndexChanged.connect(self._follow)
        self.comparison.currentIndexChanged.connect(self.tell)
        self.put(
            say("when"),
            self.quantity,
            say("is"),
            self.comparison,
            self.limit,
            self.unit,
        )
        self._follow()

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        limit = self._limit()
        shown = "range" if limit is None else f"{limit:g}"
        when = f"{self.quantity.chosen()} {self.comparison.chosen()} {shown}"
        return {"kind": "reading", "when": when}

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show a condition; a quantity that is not known yet is offered too."""
        condition = parse_condition(str(data["when"]))
        name, speech = condition.quantity, self.context.speech
        self.quantity.offer(name, measured_name(speech, name))
        self.quantity.choose(name)
        self.comparison.choose(condition.comparison)
        limit = condition.limit
        self.limit.setText("" if limit is None else measured_figure(speech, name, limit))

    def _limit(self) -> float | None:
        """Return the limit in the quantity's own unit, whichever the person reads."""
        unit = unit_of(self.quantity.chosen())
        if self.limit.is_blank:
            return None
        if unit is None:
            number = self.limit.number()
            return None if number is None else float(number)
        return parse_quantity(self.context.speech, "limit", self.limit.text(), unit)

    @Slot()
    def _follow(self) -> None:
        unit = unit_of(self.quantity.chosen())
        self.unit.setText("" if unit is None else unit_symbol(self.context.speech, unit))
        self.tell()


class OnceFields(RuleFields):
    """On one date."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__(context)
        self.day = self.date("on", context.say("Date"), today)
        self.put(context.say("on"), self.day)

    @override
    def read(self) -> dict[str, object]:
        """Return the rule as plain data."""
        day = self.day.day()
        if day is None:
            raise InputError("on", self.context.say("write a date"))
        return {"kind": "once", "on": day.isoformat()}

    @override
    def fill(self, data: Mapping[str, object]) -> None:
        """Show a date."""
        self.day.fill(date.fromisoformat(str(data["on"])))
