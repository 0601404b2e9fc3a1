"""The tables of the year review as plain text: the same on the screen and on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.period_words import month_labels
from tubcare.desktop.plain_table import PlainTable, without_empty
from tubcare.ledger.categories import SpendCategory
from tubcare.words.money import amount
from tubcare.words.money_terms import money_word
from tubcare.words.numbers import number
from tubcare.words.sentences.review import effect_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from tubcare.ledger.budget import BudgetLine
    from tubcare.ledger.effects import Effects
    from tubcare.ledger.review_model import ViewReview
    from tubcare.services.reviews import Reviewed
    from tubcare.values import TaskId
    from tubcare.words.locale import Speech


class ReviewContent:
    """Tells one view of one review as tables."""

    def __init__(self, speech: Speech, reviewed: Reviewed, view: ViewReview) -> None:
        self._speech = speech
        self._reviewed = reviewed
        self._view = view

    def all_tables(self) -> tuple[PlainTable, ...]:
        """Return every table, in the order in which they are shown."""
        return (
            self.kinds(),
            self.tasks(),
            self.kind_months(),
            self.task_months(),
            self.tubs(),
            self.effects(),
        )

    def kinds(self) -> PlainTable:
        """Return each kind of spending beside the time before and its budget."""
        say, view = self._speech.say, self._view
        cost = {line.category: line for line in view.categories}
        budget = {line.category: line for line in view.budget.lines}
        rows = []
        for category in SpendCategory:
            line, planned = cost.get(category), budget.get(category)
            if line is None and planned is None:
                continue
            minor = 0 if line is None else line.minor
            before = None if line is None else line.before_minor
            if view.before is not None and line is None:
                before = 0
            rows.append(
                (
                    self._capital(money_word(self._speech, category)),
                    *self._compared(minor, before),
                    *self._planned(planned),
                )
            )
        before = None if view.before is None else view.before.minor
        totals = self._compared(view.total.minor, before)
        rows.append((say("In all"), *totals, *self._planned_sum()))
        heads = (
            say("Kind"),
            say("Cost"),
            self._before_head(),
            say("Change"),
            say("Budget"),
            say("Left"),
            say("Likely in all"),
        )
        return without_empty(self._table("kinds", say("By kind"), heads, rows))

    def tasks(self) -> PlainTable:
        """Return each task with its cost, how often it was done, and how often it was missed."""
        say, view = self._speech.say, self._view
        rows = [
            (
                self._title(line.task),
                number(self._speech, line.done),
                number(self._speech, line.missed),
                *self._compared(line.minor, line.before_minor),
            )
            for line in view.tasks
        ]
        review = self._reviewed.review
        before = None if view.before is None else view.before.minor
        rows.append(
            (
                say("In all"),
                number(self._speech, review.done),
                number(self._speech, review.missed),
                *self._compared(view.total.minor, before),
            )
        )
        heads = (
            say("Task"),
            say("Done"),
            say("Missed"),
            say("Cost"),
            self._before_head(),
            say("Change"),
        )
        return without_empty(self._table("tasks", say("By task"), heads, rows))

    def kind_months(self) -> PlainTable:
        """Return the kinds of spending month by month."""
        say = self._speech.say
        rows = [
            (
                self._capital(money_word(self._speech, line.category)),
                *self._months(line.by_month),
                self._amount(line.minor),
            )
            for line in self._view.categories
        ]
        return self._by_month("kind-months", say("Kinds by month"), say("Kind"), rows)

    def task_months(self) -> PlainTable:
        """Return the tasks month by month; what cost nothing stays out."""
        say = self._speech.say
        rows = [
            (self._title(line.task), *self._months(line.by_month), self._amount(line.minor))
            for line in self._view.tasks
            if any(line.by_month)
        ]
        return self._by_month("task-months", say("Tasks by month"), say("Task"), rows)

    def tubs(self) -> PlainTable:
        """Return each tub beside the time before."""
        say, names = self._speech.say, self._reviewed.tub_names
        rows = [
            (
                say("belongs to no tub") if line.tub is None else names.get(line.tub, ""),
                *self._compared(line.minor, line.before_minor),
            )
            for line in self._view.tubs
        ]
        before = None if self._view.before is None else self._view.before.minor
        rows.append((say("In all"), *self._compared(self._view.total.minor, before)))
        heads = (say("Tub"), say("Cost"), self._before_head(), say("Change"))
        return without_empty(self._table("tubs", say("By tub"), heads, rows))

    def effects(self) -> PlainTable:
        """Return why what was used changed: by price, by quantity, by both, by other things."""
        say, table = self._speech.say, self._reviewed.effects
        rows = [
            (effect_name(self._speech, item.key), *self._parts(item))
            for item in table.items
            if any(self._parts(item))
        ]
        rows.append((say("In all"), *self._parts(table.total)))
        heads = (
            say("What"),
            say("Change"),
            say("By price"),
            say("By quantity"),
            say("By both"),
            say("Other"),
        )
        return self._table("effects", say("Why it changed"), heads, rows)

    def _before_head(self) -> str:
        if self._reviewed.is_over:
            return self._speech.say("Before")
        return self._speech.say("Same days before")

    def _by_month(
        self, key: str, title: str, head: str, rows: list[tuple[str, ...]]
    ) -> PlainTable:
        say, view = self._speech.say, self._view
        total = self._amount(view.total.minor)
        rows.append((say("In all"), *self._months(view.by_month), total))
        heads = (head, *month_labels(self._speech, self._reviewed.review.months), say("In all"))
        return self._table(key, title, heads, rows)

    def _table(
        self, key: str, title: str, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]
    ) -> PlainTable:
        named = self._speech.say(
            "{table}, in {currency}", table=title, currency=self._speech.currency.code
        )
        return PlainTable(key=key, title=named, heads=heads, rows=tuple(rows))

    def _compared(self, minor: int, before: int | None) -> tuple[str, str, str]:
        change = "" if before is None else self._signed(minor - before)
        return self._amount(minor), self._maybe(before), change

    def _planned(self, line: BudgetLine | None) -> tuple[str, str, str]:
        if line is None:
            return "", "", ""
        likely = self._amount(line.forecast_minor)
        return self._maybe(line.budget_minor), self._maybe(line.left_minor), likely

    def _planned_sum(self) -> tuple[str, str, str]:
        total = self._view.budget.total
        likely = self._amount(self._view.forecast.total_minor)
        return self._maybe(total.budget_minor), self._maybe(total.left_minor), likely

    def _parts(self, effects: Effects) -> tuple[str, ...]:
        parts = (
            effects.change_minor,
            effects.price_minor,
            effects.quantity_minor,
            effects.joint_minor,
            effects.other_minor,
        )
        return tuple(self._signed(part) if part else "" for part in parts)

    def _months(self, by_month: Iterable[int]) -> tuple[str, ...]:
        return tuple(self._amount(minor) if minor else "" for minor in by_month)

    def _title(self, task: TaskId | None) -> str:
        if task is None:
            return self._speech.say("belongs to no task")
        return self._reviewed.task_name(task)

    def _maybe(self, minor: int | None) -> str:
        return "" if minor is None else self._amount(minor)

    def _amount(self, minor: int) -> str:
        return amount(self._speech, minor)

    def _signed(self, minor: int) -> str:
        return f"+{self._amount(minor)}" if minor > 0 else self._amount(minor)

    @staticmethod
    def _capital(text: str) -> str:
        return text[:1].upper() + text[1:]
